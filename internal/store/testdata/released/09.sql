-- Invented data as version 9 of the tables left it.
CREATE TABLE people (
    tenant_id TEXT NOT NULL,
    id TEXT NOT NULL,
    login TEXT NOT NULL,
    name TEXT NOT NULL,
    role TEXT NOT NULL,
    password TEXT NOT NULL,
    created_ms BIGINT NOT NULL,
    gone_ms BIGINT NOT NULL, units TEXT NOT NULL DEFAULT '', decimal_mark TEXT NOT NULL DEFAULT '', language TEXT NOT NULL DEFAULT '',
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
    urgency BIGINT NOT NULL, looked BIGINT NOT NULL DEFAULT 5, foreseen BIGINT NOT NULL DEFAULT 5, runs_out BIGINT NOT NULL DEFAULT 999999,
    PRIMARY KEY (tenant_id, id)
);
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
CREATE TABLE glances (
    tenant_id TEXT NOT NULL,
    site_id TEXT NOT NULL,
    reader TEXT NOT NULL,
    seen TEXT NOT NULL,
    glance TEXT NOT NULL,
    PRIMARY KEY (tenant_id, site_id, reader)
);
CREATE TABLE part_lists (
    tenant_id TEXT NOT NULL,
    rev BIGINT NOT NULL,
    text TEXT NOT NULL,
    hash TEXT NOT NULL,
    person_id TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, rev)
);
CREATE TABLE part_prices (
    tenant_id TEXT NOT NULL,
    kind TEXT NOT NULL,
    name TEXT NOT NULL,
    since_ms BIGINT NOT NULL,
    price BIGINT NOT NULL,
    refill BIGINT NOT NULL,
    currency TEXT NOT NULL,
    person_id TEXT NOT NULL,
    PRIMARY KEY (tenant_id, kind, name, since_ms)
);
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
CREATE TABLE versions (
    tenant_id TEXT NOT NULL,
    id TEXT NOT NULL,
    site_id TEXT NOT NULL,
    first_id TEXT NOT NULL,
    hash TEXT NOT NULL,
    said TEXT NOT NULL,
    person_id TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    settled_ms BIGINT NOT NULL,
    settled_by TEXT NOT NULL,
    choice TEXT NOT NULL,
    PRIMARY KEY (tenant_id, id),
    UNIQUE (tenant_id, first_id, hash)
);
CREATE INDEX versions_open ON versions (tenant_id, settled_ms, id);
CREATE TABLE tokens (
    tenant_id TEXT NOT NULL,
    id TEXT NOT NULL,
    token_hash TEXT NOT NULL,
    name TEXT NOT NULL,
    scopes TEXT NOT NULL,
    person_id TEXT NOT NULL,
    created_ms BIGINT NOT NULL,
    expires_ms BIGINT NOT NULL,
    used_ms BIGINT NOT NULL,
    gone_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, id),
    UNIQUE (tenant_id, token_hash)
);
CREATE TABLE kept_answers (
    tenant_id TEXT NOT NULL,
    token_id TEXT NOT NULL,
    key TEXT NOT NULL,
    request_hash TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    status BIGINT NOT NULL,
    headers TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (tenant_id, token_id, key)
);
CREATE TABLE forecasts (
    tenant_id TEXT NOT NULL,
    site_id TEXT NOT NULL,
    turn BIGINT NOT NULL,
    seen TEXT NOT NULL,
    first TEXT NOT NULL,
    told TEXT NOT NULL,
    PRIMARY KEY (tenant_id, site_id)
);
CREATE TABLE told_trips (
    tenant_id TEXT NOT NULL,
    told TEXT NOT NULL,
    person_id TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id)
);
CREATE INDEX sites_in_order ON sites (tenant_id, gone_ms, urgency, runs_out, sort_key, id, search);
CREATE TABLE issued_papers (
    tenant_id TEXT NOT NULL,
    site_id TEXT NOT NULL,
    paper TEXT NOT NULL,
    number BIGINT NOT NULL,
    letter TEXT NOT NULL,
    day TEXT NOT NULL,
    prepared TEXT NOT NULL,
    checked TEXT NOT NULL,
    approved TEXT NOT NULL,
    change_words TEXT NOT NULL,
    input TEXT NOT NULL,
    facts TEXT NOT NULL,
    hash TEXT NOT NULL,
    pdf TEXT NOT NULL,
    person_id TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, site_id, paper, number)
);
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-db2d-7c08-b194-4552c2bb4aa4', 1795636452141, '', 'kit, owner', '961b77c3924399c548087d0b4b70866e7327b69d3100e8014f4f0da58a1edc73', '01a21445-db2d-7c08-b194-4552c2bb4aa4', 1, 'own', 'person.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-db2d-71c3-af7c-c6d19343f2ed', 1795636452141, '961b77c3924399c548087d0b4b70866e7327b69d3100e8014f4f0da58a1edc73', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '8c53988c0da304f1d52bff0fe8d588e923d2776e0631528e5a7c2f8209da2944', '01a21445-db2d-7c08-b194-4552c2bb4aa4', 2, 'own', 'site.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-db2d-71c3-af7c-c6d19343f2ed', 1795636452143, '8c53988c0da304f1d52bff0fe8d588e923d2776e0631528e5a7c2f8209da2944', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '95e4d5e82cd9d3c01c7b5c602e231293d30a8ce90bb4e59cf2b4004e9caac594', '01a21445-db2d-7c08-b194-4552c2bb4aa4', 3, 'own', 'site.saved');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-0020-750a-be85-f7821f48bb42', 1795636452151, '95e4d5e82cd9d3c01c7b5c602e231293d30a8ce90bb4e59cf2b4004e9caac594', 'b24b82f24185a2484912f8175619ddb10100a78e21af1e368d8bb93f4b6ea1dd', 'fd585f0c4530c78d7a237e3e2d4df54d7c6b7bea7f09ddfb5eb588f1046f9755', '01a21445-db2d-7c08-b194-4552c2bb4aa4', 4, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-ea80-758b-96ef-1bca3789a1d5', 1795636452155, 'fd585f0c4530c78d7a237e3e2d4df54d7c6b7bea7f09ddfb5eb588f1046f9755', 'af86b273a5b9bbd52edd3f3442a7d6f1c1f998822c6628464471f36f4a8cd738', 'c18d3bb4838f46747301e82508ebd6770482faf04ff7b602fcc88413d5207a29', '01a21445-db2d-7c08-b194-4552c2bb4aa4', 5, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec053-d4e0-7936-bf72-78184a0b38c5', 1795636452157, 'c18d3bb4838f46747301e82508ebd6770482faf04ff7b602fcc88413d5207a29', 'df7896b1a35db9accf67038f0fe74138cfeb4e3765bba1ad34571bed20879ffa', '9ae9c5e6cf9e239e7e99699cc166df4d3a9fb889285c5addc5a2b19ae2e36ebe', '01a21445-db2d-7c08-b194-4552c2bb4aa4', 6, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('units', 1795636452158, '9ae9c5e6cf9e239e7e99699cc166df4d3a9fb889285c5addc5a2b19ae2e36ebe', 'si', 'b14d69d0bd3c17cffd5e5c4df278b461ac9c6b8106c3bd2116b2f4352b0b4180', '01a21445-db2d-7c08-b194-4552c2bb4aa4', 7, 'own', 'setting.set');
INSERT INTO audit_head (hash, seq, tenant_id) VALUES ('b14d69d0bd3c17cffd5e5c4df278b461ac9c6b8106c3bd2116b2f4352b0b4180', 7, 'own');
INSERT INTO forecasts (first, seen, site_id, tenant_id, told, turn) VALUES ('', '', '01a21445-db2d-71c3-af7c-c6d19343f2ed', 'own', '', 3);
INSERT INTO people (created_ms, decimal_mark, gone_ms, id, language, login, name, password, role, tenant_id, units) VALUES (1795636452141, '', 0, '01a21445-db2d-7c08-b194-4552c2bb4aa4', '', 'kit', 'Kit', 'none', 'owner', 'own', '');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-0020-750a-be85-f7821f48bb42', 0.009, '01a21445-db2d-71c3-af7c-c6d19343f2ed', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-ea80-758b-96ef-1bca3789a1d5', 0.009, '01a21445-db2d-71c3-af7c-c6d19343f2ed', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec053-d4e0-7936-bf72-78184a0b38c5', 0.009, '01a21445-db2d-71c3-af7c-c6d19343f2ed', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('b24b82f24185a2484912f8175619ddb10100a78e21af1e368d8bb93f4b6ea1dd', '', '01a21445-db2d-7c08-b194-4552c2bb4aa4', 1, '019ec052-0020-750a-be85-f7821f48bb42', '', -240, '01a21445-db2d-7c08-b194-4552c2bb4aa4', 'permeate', 'test', '', 1795636452151, '01a21445-db2d-71c3-af7c-c6d19343f2ed', 1781343060000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('af86b273a5b9bbd52edd3f3442a7d6f1c1f998822c6628464471f36f4a8cd738', '', '01a21445-db2d-7c08-b194-4552c2bb4aa4', 2, '019ec052-ea80-758b-96ef-1bca3789a1d5', '', -240, '01a21445-db2d-7c08-b194-4552c2bb4aa4', 'permeate', 'test', '', 1795636452155, '01a21445-db2d-71c3-af7c-c6d19343f2ed', 1781343120000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('df7896b1a35db9accf67038f0fe74138cfeb4e3765bba1ad34571bed20879ffa', '', '01a21445-db2d-7c08-b194-4552c2bb4aa4', 3, '019ec053-d4e0-7936-bf72-78184a0b38c5', '', -240, '01a21445-db2d-7c08-b194-4552c2bb4aa4', 'permeate', 'test', '', 1795636452157, '01a21445-db2d-71c3-af7c-c6d19343f2ed', 1781343180000, 'own');
INSERT INTO settings (name, tenant_id, value) VALUES ('units', 'own', 'si');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636452141, 'rinsewright = 1

[site] # invented
name = "Gull Point"
', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '01a21445-db2d-7c08-b194-4552c2bb4aa4', 1, '01a21445-db2d-71c3-af7c-c6d19343f2ed', 'own');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636452143, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-db2d-7c08-b194-4552c2bb4aa4', 2, '01a21445-db2d-71c3-af7c-c6d19343f2ed', 'own');
INSERT INTO sites (changed_ms, created_ms, file, foreseen, gone_ms, hash, id, looked, name, practice, rev, runs_out, search, sort_key, tenant_id, urgency) VALUES (1795636452143, 1795636452141, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 5, 0, 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-db2d-71c3-af7c-c6d19343f2ed', 5, 'Gull Point, as it was left', 0, 2, 999999, 'gull point, as it was left', '67756c6c20706f696e742c20617320697420776173206c656674', 'own', 5);
