-- Invented data as version 10 of the tables left it.
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
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-df06-7c8d-a0f6-c3f09796d7a7', 1795636453126, '', 'kit, owner', '8a18863738a44d81a0d5c9f1b6287a6f0e28593efd6e383aea3fe26a2cb46f79', '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 1, 'own', 'person.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-df0b-7598-a742-2f096732b20c', 1795636453131, '8a18863738a44d81a0d5c9f1b6287a6f0e28593efd6e383aea3fe26a2cb46f79', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', 'dda489b19786ec7546c481ea4badad545aaf5b682198de989ed5bc785db0a3de', '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 2, 'own', 'site.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-df0b-7598-a742-2f096732b20c', 1795636453135, 'dda489b19786ec7546c481ea4badad545aaf5b682198de989ed5bc785db0a3de', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '81c88b98a4a3bfba3561f9169d4edf6d7c55f1c7617d4308304ff33713d04fa6', '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 3, 'own', 'site.saved');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-0020-7f0b-9338-392b6f38d72f', 1795636453136, '81c88b98a4a3bfba3561f9169d4edf6d7c55f1c7617d4308304ff33713d04fa6', '59ac654a3e8962480b3e8f22fdc8331b95c700294e9ab52c303698947160015b', '65b65dc59fdf20c09a981b50539f0bb9e6d44e29440614ebd8035485d136a759', '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 4, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-ea80-7707-bda2-d696c8a87090', 1795636453137, '65b65dc59fdf20c09a981b50539f0bb9e6d44e29440614ebd8035485d136a759', '1e88c7cdf049b84b0e06198d968e1ea16b2b2fcb52f6a88416c544f0ee2c3235', 'bdfd96c52b2286af0b80ccc2758a856f4d3701ba18c653a7f642d05e71ca7433', '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 5, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec053-d4e0-73f6-818a-09d59bb895e5', 1795636453137, 'bdfd96c52b2286af0b80ccc2758a856f4d3701ba18c653a7f642d05e71ca7433', '8fed668353e96f0fd33f72dd21e9119985f506043d3390e0d737b5d26f8cd8b2', '26c1cd62adeb339643193a5a3c22a6f818944b0d97c4e1ef3d0851b0412c9858', '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 6, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('units', 1795636453138, '26c1cd62adeb339643193a5a3c22a6f818944b0d97c4e1ef3d0851b0412c9858', 'si', 'e7ec72d22c234dbe4d6a05b66d6acf5a50a0e8cf913af4e75fb34d98681e3295', '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 7, 'own', 'setting.set');
INSERT INTO audit_head (hash, seq, tenant_id) VALUES ('e7ec72d22c234dbe4d6a05b66d6acf5a50a0e8cf913af4e75fb34d98681e3295', 7, 'own');
INSERT INTO forecasts (first, seen, site_id, tenant_id, told, turn) VALUES ('', '', '01a21445-df0b-7598-a742-2f096732b20c', 'own', '', 3);
INSERT INTO people (created_ms, decimal_mark, gone_ms, id, language, login, name, password, role, tenant_id, units) VALUES (1795636453126, '', 0, '01a21445-df06-7c8d-a0f6-c3f09796d7a7', '', 'kit', 'Kit', 'none', 'owner', 'own', '');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-0020-7f0b-9338-392b6f38d72f', 0.009, '01a21445-df0b-7598-a742-2f096732b20c', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-ea80-7707-bda2-d696c8a87090', 0.009, '01a21445-df0b-7598-a742-2f096732b20c', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec053-d4e0-73f6-818a-09d59bb895e5', 0.009, '01a21445-df0b-7598-a742-2f096732b20c', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('59ac654a3e8962480b3e8f22fdc8331b95c700294e9ab52c303698947160015b', '', '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 1, '019ec052-0020-7f0b-9338-392b6f38d72f', '', -240, '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 'permeate', 'test', '', 1795636453136, '01a21445-df0b-7598-a742-2f096732b20c', 1781343060000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('1e88c7cdf049b84b0e06198d968e1ea16b2b2fcb52f6a88416c544f0ee2c3235', '', '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 2, '019ec052-ea80-7707-bda2-d696c8a87090', '', -240, '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 'permeate', 'test', '', 1795636453137, '01a21445-df0b-7598-a742-2f096732b20c', 1781343120000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('8fed668353e96f0fd33f72dd21e9119985f506043d3390e0d737b5d26f8cd8b2', '', '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 3, '019ec053-d4e0-73f6-818a-09d59bb895e5', '', -240, '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 'permeate', 'test', '', 1795636453137, '01a21445-df0b-7598-a742-2f096732b20c', 1781343180000, 'own');
INSERT INTO settings (name, tenant_id, value) VALUES ('units', 'own', 'si');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636453131, 'rinsewright = 1

[site] # invented
name = "Gull Point"
', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 1, '01a21445-df0b-7598-a742-2f096732b20c', 'own');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636453135, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-df06-7c8d-a0f6-c3f09796d7a7', 2, '01a21445-df0b-7598-a742-2f096732b20c', 'own');
INSERT INTO sites (changed_ms, created_ms, file, foreseen, gone_ms, hash, id, looked, name, practice, rev, runs_out, search, sort_key, tenant_id, urgency) VALUES (1795636453135, 1795636453131, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 5, 0, 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-df0b-7598-a742-2f096732b20c', 5, 'Gull Point, as it was left', 0, 2, 999999, 'gull point, as it was left', '67756c6c20706f696e742c20617320697420776173206c656674', 'own', 5);
