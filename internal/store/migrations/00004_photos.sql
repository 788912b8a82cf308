-- +goose Up
-- Photos of a site. The id is the SHA-256 of what the phone sent, kept names
-- the file that was made of it; the picture itself lies in a folder.
CREATE TABLE photos (
    tenant_id TEXT NOT NULL,
    site_id TEXT NOT NULL,
    id TEXT NOT NULL,
    kept TEXT NOT NULL,
    bytes BIGINT NOT NULL,
    width BIGINT NOT NULL,
    height BIGINT NOT NULL,
    words TEXT NOT NULL,
    taken_ms BIGINT NOT NULL,
    offset_min BIGINT NOT NULL,
    received_ms BIGINT NOT NULL,
    person_id TEXT NOT NULL,
    PRIMARY KEY (tenant_id, site_id, id)
);

CREATE INDEX photos_in_time ON photos (tenant_id, site_id, taken_ms, id);

CREATE INDEX photos_kept ON photos (tenant_id, kept);

-- +goose Down
DROP TABLE photos;
