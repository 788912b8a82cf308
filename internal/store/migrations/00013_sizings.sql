-- +goose Up
-- The last sizing of each site as it was shown, for the question it answers.
CREATE TABLE sizings (
    tenant_id TEXT NOT NULL,
    site_id TEXT NOT NULL,
    question TEXT NOT NULL,
    body TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, site_id)
);

-- +goose Down
DROP TABLE sizings;
