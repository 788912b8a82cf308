-- +goose Up
-- One field of a site's record that two people changed from the same text. Both
-- stay until somebody chooses, and after.
CREATE TABLE field_versions (
    tenant_id TEXT NOT NULL,
    id TEXT NOT NULL,
    site_id TEXT NOT NULL,
    field TEXT NOT NULL,
    base_rev BIGINT NOT NULL,
    first TEXT NOT NULL,
    first_by TEXT NOT NULL,
    first_ms BIGINT NOT NULL,
    second TEXT NOT NULL,
    second_by TEXT NOT NULL,
    second_ms BIGINT NOT NULL,
    settled_ms BIGINT NOT NULL,
    settled_by TEXT NOT NULL,
    choice TEXT NOT NULL,
    PRIMARY KEY (tenant_id, id),
    UNIQUE (tenant_id, site_id, field, base_rev, second, second_by)
);

CREATE INDEX field_versions_open ON field_versions (tenant_id, settled_ms, id);

CREATE INDEX field_versions_of ON field_versions (tenant_id, site_id, settled_ms);

-- +goose Down
DROP TABLE field_versions;
