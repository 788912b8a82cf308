-- +goose Up
-- Work that a program has taken, so that no other does it at the same time. Each
-- ends by itself; what there is to do the other tables say.
CREATE TABLE claims (
    tenant_id TEXT NOT NULL,
    kind TEXT NOT NULL,
    about TEXT NOT NULL,
    state TEXT NOT NULL,
    worker TEXT NOT NULL,
    until_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, kind, about)
);

-- +goose Down
DROP TABLE claims;
