-- +goose Up
-- The second step of signing in: a secret shared with a person's own device, and
-- the last span of time whose code was taken, so that none is taken twice. A
-- secret that was never shown to work has confirmed_ms 0.
CREATE TABLE second_steps (
    tenant_id TEXT NOT NULL,
    person_id TEXT NOT NULL,
    secret TEXT NOT NULL,
    confirmed_ms BIGINT NOT NULL,
    last_span BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, person_id)
);

-- Codes on paper for the day the device is lost: their hashes.
CREATE TABLE spare_codes (
    tenant_id TEXT NOT NULL,
    person_id TEXT NOT NULL,
    code_hash TEXT NOT NULL,
    PRIMARY KEY (tenant_id, person_id, code_hash)
);

-- Public keys of devices that sign a person in.
CREATE TABLE passkeys (
    tenant_id TEXT NOT NULL,
    id TEXT NOT NULL,
    person_id TEXT NOT NULL,
    name TEXT NOT NULL,
    host TEXT NOT NULL,
    record TEXT NOT NULL,
    created_ms BIGINT NOT NULL,
    used_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, id)
);

-- What is asked of somebody who is half-way through: a code, a device's
-- signature, a first password. Each link is known to its holder only.
CREATE TABLE half_ways (
    tenant_id TEXT NOT NULL,
    token_hash TEXT NOT NULL,
    kind TEXT NOT NULL,
    person_id TEXT NOT NULL,
    data TEXT NOT NULL,
    ends_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, token_hash)
);

-- +goose Down
DROP TABLE half_ways;
DROP TABLE passkeys;
DROP TABLE spare_codes;
DROP TABLE second_steps;
