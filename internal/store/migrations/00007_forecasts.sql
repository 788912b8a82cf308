-- +goose Up
-- What the log of a site foresees, as it was told last. The turn counts what was
-- logged there, so that a forecast made before a reading came in is known as old.
CREATE TABLE forecasts (
    tenant_id TEXT NOT NULL,
    site_id TEXT NOT NULL,
    turn BIGINT NOT NULL,
    seen TEXT NOT NULL,
    first TEXT NOT NULL,
    told TEXT NOT NULL,
    PRIMARY KEY (tenant_id, site_id)
);

-- The days of trips that somebody was told, until others are told.
CREATE TABLE told_trips (
    tenant_id TEXT NOT NULL,
    told TEXT NOT NULL,
    person_id TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id)
);

-- A site stands in the list by the worse of what a look at it found and what its
-- log foresees, then by the day on which something runs out.
ALTER TABLE sites ADD COLUMN looked BIGINT NOT NULL DEFAULT 5;
ALTER TABLE sites ADD COLUMN foreseen BIGINT NOT NULL DEFAULT 5;
ALTER TABLE sites ADD COLUMN runs_out BIGINT NOT NULL DEFAULT 999999;
UPDATE sites SET looked = urgency;
DROP INDEX sites_in_order;
CREATE INDEX sites_in_order ON sites (tenant_id, gone_ms, urgency, runs_out, sort_key, id, search);

-- +goose Down
DROP INDEX sites_in_order;
ALTER TABLE sites DROP COLUMN looked;
ALTER TABLE sites DROP COLUMN foreseen;
ALTER TABLE sites DROP COLUMN runs_out;
CREATE INDEX sites_in_order ON sites (tenant_id, gone_ms, urgency, sort_key, id, search);
DROP TABLE told_trips;
DROP TABLE forecasts;
