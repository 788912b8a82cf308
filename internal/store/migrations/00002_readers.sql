-- +goose Up
-- How a person reads and writes numbers; empty is as everyone does.
ALTER TABLE people ADD COLUMN units TEXT NOT NULL DEFAULT '';
ALTER TABLE people ADD COLUMN decimal_mark TEXT NOT NULL DEFAULT '';

-- What the list shows of a site, once for each way of reading it.
CREATE TABLE glances (
    tenant_id TEXT NOT NULL,
    site_id TEXT NOT NULL,
    reader TEXT NOT NULL,
    seen TEXT NOT NULL,
    glance TEXT NOT NULL,
    PRIMARY KEY (tenant_id, site_id, reader)
);

ALTER TABLE sites DROP COLUMN glance;
ALTER TABLE sites DROP COLUMN glance_hash;

-- +goose Down
ALTER TABLE sites ADD COLUMN glance TEXT NOT NULL DEFAULT '';
ALTER TABLE sites ADD COLUMN glance_hash TEXT NOT NULL DEFAULT '';
DROP TABLE glances;
ALTER TABLE people DROP COLUMN decimal_mark;
ALTER TABLE people DROP COLUMN units;
