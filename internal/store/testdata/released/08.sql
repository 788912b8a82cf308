-- Invented data as version 8 of the tables left it.
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
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-d753-73d7-8da1-f22c4a2a84d2', 1795636451155, '', 'kit, owner', '907b9dab3d52b6a10951efeb409fc8756c0f379e0953b591c147805a5245ceb0', '01a21445-d753-73d7-8da1-f22c4a2a84d2', 1, 'own', 'person.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-d754-7a9e-a79c-aaaf4edd9ae6', 1795636451156, '907b9dab3d52b6a10951efeb409fc8756c0f379e0953b591c147805a5245ceb0', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', 'eb1146b4f5f6128c0bd0d96d8d0a48cdf2fb735832bd53faca4cb7229921eccb', '01a21445-d753-73d7-8da1-f22c4a2a84d2', 2, 'own', 'site.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-d754-7a9e-a79c-aaaf4edd9ae6', 1795636451157, 'eb1146b4f5f6128c0bd0d96d8d0a48cdf2fb735832bd53faca4cb7229921eccb', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', 'cf9541e763bc87e0b8b03f076da4c771a3c91d6ff7726d7e2bf15cd447f4f927', '01a21445-d753-73d7-8da1-f22c4a2a84d2', 3, 'own', 'site.saved');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-0020-76ce-8d27-db76cdc84407', 1795636451157, 'cf9541e763bc87e0b8b03f076da4c771a3c91d6ff7726d7e2bf15cd447f4f927', '28d435d0464101c15ec8c7497b999e44e6f178be32130c72cffbe9d1b7fdaead', '9b11a18878ef7252dec3b76f7db7a387c2c2ed27802aaecd5a9a71a8cb7ea7ff', '01a21445-d753-73d7-8da1-f22c4a2a84d2', 4, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-ea80-7929-bb5c-cdc77c50b9b5', 1795636451158, '9b11a18878ef7252dec3b76f7db7a387c2c2ed27802aaecd5a9a71a8cb7ea7ff', '1ccd798afdde9fe3aa21aee9540084537773bd9579f2fb3d83495e265371d808', '840d4821ddd6cfc5c63c45fc20d226a8bf85e31d2c052c36cf8a9980d5454e33', '01a21445-d753-73d7-8da1-f22c4a2a84d2', 5, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec053-d4e0-72b7-93d8-a604671a41a1', 1795636451158, '840d4821ddd6cfc5c63c45fc20d226a8bf85e31d2c052c36cf8a9980d5454e33', 'fac84f618ecff633ae1f645ce418715964ef4e73240025595eaf7b822b8dbd98', 'a96694f1f91842dea8c3ca0318d0ffa54c2c58bc89f9bd9ef695f6e2c925aa18', '01a21445-d753-73d7-8da1-f22c4a2a84d2', 6, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('units', 1795636451159, 'a96694f1f91842dea8c3ca0318d0ffa54c2c58bc89f9bd9ef695f6e2c925aa18', 'si', 'd8897705345eb54046d28b9583d34396c6b8d95da36a615cab6137fb6666a695', '01a21445-d753-73d7-8da1-f22c4a2a84d2', 7, 'own', 'setting.set');
INSERT INTO audit_head (hash, seq, tenant_id) VALUES ('d8897705345eb54046d28b9583d34396c6b8d95da36a615cab6137fb6666a695', 7, 'own');
INSERT INTO forecasts (first, seen, site_id, tenant_id, told, turn) VALUES ('', '', '01a21445-d754-7a9e-a79c-aaaf4edd9ae6', 'own', '', 3);
INSERT INTO people (created_ms, decimal_mark, gone_ms, id, language, login, name, password, role, tenant_id, units) VALUES (1795636451155, '', 0, '01a21445-d753-73d7-8da1-f22c4a2a84d2', '', 'kit', 'Kit', 'none', 'owner', 'own', '');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-0020-76ce-8d27-db76cdc84407', 0.009, '01a21445-d754-7a9e-a79c-aaaf4edd9ae6', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-ea80-7929-bb5c-cdc77c50b9b5', 0.009, '01a21445-d754-7a9e-a79c-aaaf4edd9ae6', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec053-d4e0-72b7-93d8-a604671a41a1', 0.009, '01a21445-d754-7a9e-a79c-aaaf4edd9ae6', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('28d435d0464101c15ec8c7497b999e44e6f178be32130c72cffbe9d1b7fdaead', '', '01a21445-d753-73d7-8da1-f22c4a2a84d2', 1, '019ec052-0020-76ce-8d27-db76cdc84407', '', -240, '01a21445-d753-73d7-8da1-f22c4a2a84d2', 'permeate', 'test', '', 1795636451157, '01a21445-d754-7a9e-a79c-aaaf4edd9ae6', 1781343060000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('1ccd798afdde9fe3aa21aee9540084537773bd9579f2fb3d83495e265371d808', '', '01a21445-d753-73d7-8da1-f22c4a2a84d2', 2, '019ec052-ea80-7929-bb5c-cdc77c50b9b5', '', -240, '01a21445-d753-73d7-8da1-f22c4a2a84d2', 'permeate', 'test', '', 1795636451158, '01a21445-d754-7a9e-a79c-aaaf4edd9ae6', 1781343120000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('fac84f618ecff633ae1f645ce418715964ef4e73240025595eaf7b822b8dbd98', '', '01a21445-d753-73d7-8da1-f22c4a2a84d2', 3, '019ec053-d4e0-72b7-93d8-a604671a41a1', '', -240, '01a21445-d753-73d7-8da1-f22c4a2a84d2', 'permeate', 'test', '', 1795636451158, '01a21445-d754-7a9e-a79c-aaaf4edd9ae6', 1781343180000, 'own');
INSERT INTO settings (name, tenant_id, value) VALUES ('units', 'own', 'si');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636451156, 'rinsewright = 1

[site] # invented
name = "Gull Point"
', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '01a21445-d753-73d7-8da1-f22c4a2a84d2', 1, '01a21445-d754-7a9e-a79c-aaaf4edd9ae6', 'own');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636451157, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-d753-73d7-8da1-f22c4a2a84d2', 2, '01a21445-d754-7a9e-a79c-aaaf4edd9ae6', 'own');
INSERT INTO sites (changed_ms, created_ms, file, foreseen, gone_ms, hash, id, looked, name, practice, rev, runs_out, search, sort_key, tenant_id, urgency) VALUES (1795636451157, 1795636451156, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 5, 0, 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-d754-7a9e-a79c-aaaf4edd9ae6', 5, 'Gull Point, as it was left', 0, 2, 999999, 'gull point, as it was left', '67756c6c20706f696e742c20617320697420776173206c656674', 'own', 5);
