-- +goose Up
-- One text for SQLite and PostgreSQL: ids are text made by the program, times are
-- whole milliseconds since 1970, flags are 0 or 1, nothing is NULL.

CREATE TABLE people (
    tenant_id TEXT NOT NULL,
    id TEXT NOT NULL,
    login TEXT NOT NULL,
    name TEXT NOT NULL,
    role TEXT NOT NULL,
    password TEXT NOT NULL,
    created_ms BIGINT NOT NULL,
    gone_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, id),
    UNIQUE (tenant_id, login)
);

CREATE TABLE sessions (
    tenant_id TEXT NOT NULL,
    token_hash TEXT NOT NULL,
    person_id TEXT NOT NULL,
    created_ms BIGINT NOT NULL,
    seen_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, token_hash)
);

CREATE TABLE settings (
    tenant_id TEXT NOT NULL,
    name TEXT NOT NULL,
    value TEXT NOT NULL,
    PRIMARY KEY (tenant_id, name)
);

CREATE TABLE sites (
    tenant_id TEXT NOT NULL,
    id TEXT NOT NULL,
    name TEXT NOT NULL,
    search TEXT NOT NULL,
    sort_key TEXT NOT NULL,
    file TEXT NOT NULL,
    hash TEXT NOT NULL,
    rev BIGINT NOT NULL,
    practice BIGINT NOT NULL,
    created_ms BIGINT NOT NULL,
    changed_ms BIGINT NOT NULL,
    gone_ms BIGINT NOT NULL,
    urgency BIGINT NOT NULL,
    glance TEXT NOT NULL,
    glance_hash TEXT NOT NULL,
    PRIMARY KEY (tenant_id, id)
);

-- The list is counted, filtered and ordered in the index alone.
CREATE INDEX sites_in_order ON sites (tenant_id, gone_ms, urgency, sort_key, id, search);

CREATE INDEX sites_by_hash ON sites (tenant_id, hash);

CREATE TABLE site_revisions (
    tenant_id TEXT NOT NULL,
    site_id TEXT NOT NULL,
    rev BIGINT NOT NULL,
    file TEXT NOT NULL,
    hash TEXT NOT NULL,
    person_id TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, site_id, rev)
);

CREATE TABLE samples (
    tenant_id TEXT NOT NULL,
    site_id TEXT NOT NULL,
    id TEXT NOT NULL,
    place TEXT NOT NULL,
    taken_ms BIGINT NOT NULL,
    offset_min BIGINT NOT NULL,
    received_ms BIGINT NOT NULL,
    person_id TEXT NOT NULL,
    device_id TEXT NOT NULL,
    device_seq BIGINT NOT NULL,
    program TEXT NOT NULL,
    note TEXT NOT NULL,
    corrects TEXT NOT NULL,
    reason TEXT NOT NULL,
    content_hash TEXT NOT NULL,
    PRIMARY KEY (tenant_id, site_id, id),
    UNIQUE (tenant_id, id),
    UNIQUE (tenant_id, device_id, device_seq)
);

CREATE INDEX samples_in_time ON samples (tenant_id, site_id, taken_ms, id);

CREATE TABLE readings (
    tenant_id TEXT NOT NULL,
    site_id TEXT NOT NULL,
    sample_id TEXT NOT NULL,
    name TEXT NOT NULL,
    typed TEXT NOT NULL,
    si DOUBLE PRECISION NOT NULL,
    unit TEXT NOT NULL,
    skipped TEXT NOT NULL,
    PRIMARY KEY (tenant_id, site_id, sample_id, name)
);

CREATE TABLE audit (
    tenant_id TEXT NOT NULL,
    seq BIGINT NOT NULL,
    at_ms BIGINT NOT NULL,
    person_id TEXT NOT NULL,
    what TEXT NOT NULL,
    about TEXT NOT NULL,
    detail TEXT NOT NULL,
    before_hash TEXT NOT NULL,
    hash TEXT NOT NULL,
    PRIMARY KEY (tenant_id, seq)
);

CREATE TABLE audit_head (
    tenant_id TEXT NOT NULL,
    seq BIGINT NOT NULL,
    hash TEXT NOT NULL,
    PRIMARY KEY (tenant_id)
);

-- +goose Down
DROP TABLE audit_head;
DROP TABLE audit;
DROP TABLE readings;
DROP TABLE samples;
DROP TABLE site_revisions;
DROP TABLE sites;
DROP TABLE settings;
DROP TABLE sessions;
DROP TABLE people;
