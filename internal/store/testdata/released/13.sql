-- Invented data as version 13 of the tables left it.
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
CREATE TABLE second_steps (
    tenant_id TEXT NOT NULL,
    person_id TEXT NOT NULL,
    secret TEXT NOT NULL,
    confirmed_ms BIGINT NOT NULL,
    last_span BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, person_id)
);
CREATE TABLE spare_codes (
    tenant_id TEXT NOT NULL,
    person_id TEXT NOT NULL,
    code_hash TEXT NOT NULL,
    PRIMARY KEY (tenant_id, person_id, code_hash)
);
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
CREATE TABLE half_ways (
    tenant_id TEXT NOT NULL,
    token_hash TEXT NOT NULL,
    kind TEXT NOT NULL,
    person_id TEXT NOT NULL,
    data TEXT NOT NULL,
    ends_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, token_hash)
);
CREATE TABLE claims (
    tenant_id TEXT NOT NULL,
    kind TEXT NOT NULL,
    about TEXT NOT NULL,
    state TEXT NOT NULL,
    worker TEXT NOT NULL,
    until_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, kind, about)
);
CREATE TABLE sizings (
    tenant_id TEXT NOT NULL,
    site_id TEXT NOT NULL,
    question TEXT NOT NULL,
    body TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    PRIMARY KEY (tenant_id, site_id)
);
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21466-9e26-766e-9d0d-95f4fb901bef', 1795638599206, '', 'kit, owner', '512624da6c2e312abe7ecdb2ce0ee2c33793b352cffe6e0e207c82f0141b8d72', '01a21466-9e26-766e-9d0d-95f4fb901bef', 1, 'own', 'person.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21466-9e26-7a86-a643-0ceb6e04ee41', 1795638599206, '512624da6c2e312abe7ecdb2ce0ee2c33793b352cffe6e0e207c82f0141b8d72', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '7f724e97971f58054c1aa535db44e40bd9716f59c45726eb98d5f12da3ef5400', '01a21466-9e26-766e-9d0d-95f4fb901bef', 2, 'own', 'site.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21466-9e26-7a86-a643-0ceb6e04ee41', 1795638599207, '7f724e97971f58054c1aa535db44e40bd9716f59c45726eb98d5f12da3ef5400', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '893642141ed0fc22df45535bbcb9dfb12bfdedf9f3c9c16154737265fb2749ef', '01a21466-9e26-766e-9d0d-95f4fb901bef', 3, 'own', 'site.saved');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-0020-7557-96ee-afd3297f46ea', 1795638599208, '893642141ed0fc22df45535bbcb9dfb12bfdedf9f3c9c16154737265fb2749ef', '77be338aecbee8a1f4fb5f49f5183596c57c561f941537d0dce66c17d0aa143e', '6a15cebdef2a06f683a75bb98ca7888e68b673ecf226f4724c39026dab4a020c', '01a21466-9e26-766e-9d0d-95f4fb901bef', 4, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-ea80-7c04-b262-c854e5a03c6b', 1795638599208, '6a15cebdef2a06f683a75bb98ca7888e68b673ecf226f4724c39026dab4a020c', '7003c62bdeb5286429b40352c9b2d85d185087b04376a07fa0a47be0b2554804', '5bee1abc544251af8a45f5952bcc3310e225853098b82780535e54ee3688e07a', '01a21466-9e26-766e-9d0d-95f4fb901bef', 5, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec053-d4e0-785f-ba54-5cbf734b17b4', 1795638599208, '5bee1abc544251af8a45f5952bcc3310e225853098b82780535e54ee3688e07a', 'c41a481aaee6a28e166daa829bb732137856924c9653fc4d03c429da593e5e9a', 'dff1a9616427b4e35ee14142eeaaf30ef9a1cc4665af1b88b956a6db3b837a81', '01a21466-9e26-766e-9d0d-95f4fb901bef', 6, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('units', 1795638599209, 'dff1a9616427b4e35ee14142eeaaf30ef9a1cc4665af1b88b956a6db3b837a81', 'si', '7164e91651b0b2148a96b789146b5ab5e7cb9ca0416831808c546b223c700592', '01a21466-9e26-766e-9d0d-95f4fb901bef', 7, 'own', 'setting.set');
INSERT INTO audit_head (hash, seq, tenant_id) VALUES ('7164e91651b0b2148a96b789146b5ab5e7cb9ca0416831808c546b223c700592', 7, 'own');
INSERT INTO forecasts (first, seen, site_id, tenant_id, told, turn) VALUES ('', '', '01a21466-9e26-7a86-a643-0ceb6e04ee41', 'own', '', 3);
INSERT INTO people (created_ms, decimal_mark, gone_ms, id, language, login, name, password, role, tenant_id, units) VALUES (1795638599206, '', 0, '01a21466-9e26-766e-9d0d-95f4fb901bef', '', 'kit', 'Kit', 'none', 'owner', 'own', '');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-0020-7557-96ee-afd3297f46ea', 0.009, '01a21466-9e26-7a86-a643-0ceb6e04ee41', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-ea80-7c04-b262-c854e5a03c6b', 0.009, '01a21466-9e26-7a86-a643-0ceb6e04ee41', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec053-d4e0-785f-ba54-5cbf734b17b4', 0.009, '01a21466-9e26-7a86-a643-0ceb6e04ee41', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('77be338aecbee8a1f4fb5f49f5183596c57c561f941537d0dce66c17d0aa143e', '', '01a21466-9e26-766e-9d0d-95f4fb901bef', 1, '019ec052-0020-7557-96ee-afd3297f46ea', '', -240, '01a21466-9e26-766e-9d0d-95f4fb901bef', 'permeate', 'test', '', 1795638599208, '01a21466-9e26-7a86-a643-0ceb6e04ee41', 1781343060000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('7003c62bdeb5286429b40352c9b2d85d185087b04376a07fa0a47be0b2554804', '', '01a21466-9e26-766e-9d0d-95f4fb901bef', 2, '019ec052-ea80-7c04-b262-c854e5a03c6b', '', -240, '01a21466-9e26-766e-9d0d-95f4fb901bef', 'permeate', 'test', '', 1795638599208, '01a21466-9e26-7a86-a643-0ceb6e04ee41', 1781343120000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('c41a481aaee6a28e166daa829bb732137856924c9653fc4d03c429da593e5e9a', '', '01a21466-9e26-766e-9d0d-95f4fb901bef', 3, '019ec053-d4e0-785f-ba54-5cbf734b17b4', '', -240, '01a21466-9e26-766e-9d0d-95f4fb901bef', 'permeate', 'test', '', 1795638599208, '01a21466-9e26-7a86-a643-0ceb6e04ee41', 1781343180000, 'own');
INSERT INTO settings (name, tenant_id, value) VALUES ('units', 'own', 'si');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795638599206, 'rinsewright = 1

[site] # invented
name = "Gull Point"
', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '01a21466-9e26-766e-9d0d-95f4fb901bef', 1, '01a21466-9e26-7a86-a643-0ceb6e04ee41', 'own');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795638599207, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21466-9e26-766e-9d0d-95f4fb901bef', 2, '01a21466-9e26-7a86-a643-0ceb6e04ee41', 'own');
INSERT INTO sites (changed_ms, created_ms, file, foreseen, gone_ms, hash, id, looked, name, practice, rev, runs_out, search, sort_key, tenant_id, urgency) VALUES (1795638599207, 1795638599206, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 5, 0, 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21466-9e26-7a86-a643-0ceb6e04ee41', 5, 'Gull Point, as it was left', 0, 2, 999999, 'gull point, as it was left', '67756c6c20706f696e742c20617320697420776173206c656674', 'own', 5);
