-- Invented data as version 12 of the tables left it.
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
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 1795637674455, '', 'kit, owner', '4e66e23ded7dc961e100459a2b037de404f34f7908abfacd18d3b40808592464', '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 1, 'own', 'person.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21458-81db-7846-ad6a-a62049a4628d', 1795637674460, '4e66e23ded7dc961e100459a2b037de404f34f7908abfacd18d3b40808592464', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', 'f3ec81058b833d9b99f34628f254698ffbc6fec80cb95171b6c84d8c9e462833', '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 2, 'own', 'site.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21458-81db-7846-ad6a-a62049a4628d', 1795637674467, 'f3ec81058b833d9b99f34628f254698ffbc6fec80cb95171b6c84d8c9e462833', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '6cdfd219e9ae65b13dea48d5b30abb72556a19d641395975dc7a08324ad14a2b', '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 3, 'own', 'site.saved');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-0020-7460-9bdc-2b3719e5c302', 1795637674482, '6cdfd219e9ae65b13dea48d5b30abb72556a19d641395975dc7a08324ad14a2b', 'a1368afba7c7c0fffd79f64af3cd925ba2632d9cb655dd4fdb7cda532ddf8974', 'd4d9bc83c06cbe1f7e061b9c53f93eecbb1a68fdcaa088b074f974e7e253dad8', '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 4, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-ea80-7cc6-8415-e1f02f411f1f', 1795637674488, 'd4d9bc83c06cbe1f7e061b9c53f93eecbb1a68fdcaa088b074f974e7e253dad8', '865404044799653f31dbaa5cccb14cecabfd593fbe072b72d788b3c48b05595e', 'ac81a98490da1e70809e4b8970beb1746cf085d8795ef1614f4a44baa74ea6b5', '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 5, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec053-d4e0-7d62-9135-d6a71add596e', 1795637674499, 'ac81a98490da1e70809e4b8970beb1746cf085d8795ef1614f4a44baa74ea6b5', 'b337dc1573911141a3da969b30d2c038f0b9d4cf66d579518823d2e049372928', '7b7929d2969465e15c8bee687a84ab1fa4f25a034ced60237f17df6e98c01cfa', '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 6, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('units', 1795637674505, '7b7929d2969465e15c8bee687a84ab1fa4f25a034ced60237f17df6e98c01cfa', 'si', '45e21fec9aa538d71bd17a3e4d278ba98af1215f54f3d4f7c79e590650676312', '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 7, 'own', 'setting.set');
INSERT INTO audit_head (hash, seq, tenant_id) VALUES ('45e21fec9aa538d71bd17a3e4d278ba98af1215f54f3d4f7c79e590650676312', 7, 'own');
INSERT INTO forecasts (first, seen, site_id, tenant_id, told, turn) VALUES ('', '', '01a21458-81db-7846-ad6a-a62049a4628d', 'own', '', 3);
INSERT INTO people (created_ms, decimal_mark, gone_ms, id, language, login, name, password, role, tenant_id, units) VALUES (1795637674455, '', 0, '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', '', 'kit', 'Kit', 'none', 'owner', 'own', '');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-0020-7460-9bdc-2b3719e5c302', 0.009, '01a21458-81db-7846-ad6a-a62049a4628d', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-ea80-7cc6-8415-e1f02f411f1f', 0.009, '01a21458-81db-7846-ad6a-a62049a4628d', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec053-d4e0-7d62-9135-d6a71add596e', 0.009, '01a21458-81db-7846-ad6a-a62049a4628d', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('a1368afba7c7c0fffd79f64af3cd925ba2632d9cb655dd4fdb7cda532ddf8974', '', '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 1, '019ec052-0020-7460-9bdc-2b3719e5c302', '', -240, '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 'permeate', 'test', '', 1795637674482, '01a21458-81db-7846-ad6a-a62049a4628d', 1781343060000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('865404044799653f31dbaa5cccb14cecabfd593fbe072b72d788b3c48b05595e', '', '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 2, '019ec052-ea80-7cc6-8415-e1f02f411f1f', '', -240, '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 'permeate', 'test', '', 1795637674488, '01a21458-81db-7846-ad6a-a62049a4628d', 1781343120000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('b337dc1573911141a3da969b30d2c038f0b9d4cf66d579518823d2e049372928', '', '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 3, '019ec053-d4e0-7d62-9135-d6a71add596e', '', -240, '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 'permeate', 'test', '', 1795637674499, '01a21458-81db-7846-ad6a-a62049a4628d', 1781343180000, 'own');
INSERT INTO settings (name, tenant_id, value) VALUES ('units', 'own', 'si');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795637674460, 'rinsewright = 1

[site] # invented
name = "Gull Point"
', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 1, '01a21458-81db-7846-ad6a-a62049a4628d', 'own');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795637674467, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21458-81d7-765e-9eac-3ce6fcbcc8aa', 2, '01a21458-81db-7846-ad6a-a62049a4628d', 'own');
INSERT INTO sites (changed_ms, created_ms, file, foreseen, gone_ms, hash, id, looked, name, practice, rev, runs_out, search, sort_key, tenant_id, urgency) VALUES (1795637674467, 1795637674460, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 5, 0, 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21458-81db-7846-ad6a-a62049a4628d', 5, 'Gull Point, as it was left', 0, 2, 999999, 'gull point, as it was left', '67756c6c20706f696e742c20617320697420776173206c656674', 'own', 5);
