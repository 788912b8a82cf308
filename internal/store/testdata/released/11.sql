-- Invented data as version 11 of the tables left it.
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
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-e42d-748e-9978-81a6cd7cb8c5', 1795636454445, '', 'kit, owner', '392792e70a4b2f8a29d9166d5c1a2aee1bf4d9fead134542fcaf74d97ecb9c3b', '01a21445-e42d-748e-9978-81a6cd7cb8c5', 1, 'own', 'person.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-e42e-7208-822d-b20bf1dadbbc', 1795636454446, '392792e70a4b2f8a29d9166d5c1a2aee1bf4d9fead134542fcaf74d97ecb9c3b', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '88b15b04c3774eadcd6f4188570e96d0bdd3f5d4d80e0ff4efb57fa4b59cf83c', '01a21445-e42d-748e-9978-81a6cd7cb8c5', 2, 'own', 'site.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-e42e-7208-822d-b20bf1dadbbc', 1795636454447, '88b15b04c3774eadcd6f4188570e96d0bdd3f5d4d80e0ff4efb57fa4b59cf83c', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '421f148e79538a34f9c3756860b811bd4c746c73093f339d58c1af6550e9f08e', '01a21445-e42d-748e-9978-81a6cd7cb8c5', 3, 'own', 'site.saved');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-0020-74bb-8c93-3983889f3a24', 1795636454448, '421f148e79538a34f9c3756860b811bd4c746c73093f339d58c1af6550e9f08e', '0687e4d156daee60665119eaf631c665aa29c5abaf2d1433f889470297d51b23', '9d92f450597dd89a21e9ba233d24c27a97475843910ba0d818ed200a4fe174d7', '01a21445-e42d-748e-9978-81a6cd7cb8c5', 4, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-ea80-75ba-9c07-54c5925cafc5', 1795636454449, '9d92f450597dd89a21e9ba233d24c27a97475843910ba0d818ed200a4fe174d7', '738adce35f8c2194d3ae7eb2bbddcb933fd50fc4b6368bb2773561f18ba1492b', 'f2e774dccf6e44e902bdc87f92c74350780b1aee44b063f638d5ca69b13d315c', '01a21445-e42d-748e-9978-81a6cd7cb8c5', 5, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec053-d4e0-7750-9c13-205617956c30', 1795636454449, 'f2e774dccf6e44e902bdc87f92c74350780b1aee44b063f638d5ca69b13d315c', '054ae298355653bda5cfa24b5594ea7d84f92a1b61817b25852dceb7abd40400', 'fc588f68d85f5325172695ebbaf5949caa1c83ddc0004a76ea288f6e406df097', '01a21445-e42d-748e-9978-81a6cd7cb8c5', 6, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('units', 1795636454450, 'fc588f68d85f5325172695ebbaf5949caa1c83ddc0004a76ea288f6e406df097', 'si', 'e13226e0f85111a329d8f31566a2b7e0944683d2b9427be68b7ecc33ca457c5a', '01a21445-e42d-748e-9978-81a6cd7cb8c5', 7, 'own', 'setting.set');
INSERT INTO audit_head (hash, seq, tenant_id) VALUES ('e13226e0f85111a329d8f31566a2b7e0944683d2b9427be68b7ecc33ca457c5a', 7, 'own');
INSERT INTO forecasts (first, seen, site_id, tenant_id, told, turn) VALUES ('', '', '01a21445-e42e-7208-822d-b20bf1dadbbc', 'own', '', 3);
INSERT INTO people (created_ms, decimal_mark, gone_ms, id, language, login, name, password, role, tenant_id, units) VALUES (1795636454445, '', 0, '01a21445-e42d-748e-9978-81a6cd7cb8c5', '', 'kit', 'Kit', 'none', 'owner', 'own', '');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-0020-74bb-8c93-3983889f3a24', 0.009, '01a21445-e42e-7208-822d-b20bf1dadbbc', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-ea80-75ba-9c07-54c5925cafc5', 0.009, '01a21445-e42e-7208-822d-b20bf1dadbbc', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec053-d4e0-7750-9c13-205617956c30', 0.009, '01a21445-e42e-7208-822d-b20bf1dadbbc', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('0687e4d156daee60665119eaf631c665aa29c5abaf2d1433f889470297d51b23', '', '01a21445-e42d-748e-9978-81a6cd7cb8c5', 1, '019ec052-0020-74bb-8c93-3983889f3a24', '', -240, '01a21445-e42d-748e-9978-81a6cd7cb8c5', 'permeate', 'test', '', 1795636454448, '01a21445-e42e-7208-822d-b20bf1dadbbc', 1781343060000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('738adce35f8c2194d3ae7eb2bbddcb933fd50fc4b6368bb2773561f18ba1492b', '', '01a21445-e42d-748e-9978-81a6cd7cb8c5', 2, '019ec052-ea80-75ba-9c07-54c5925cafc5', '', -240, '01a21445-e42d-748e-9978-81a6cd7cb8c5', 'permeate', 'test', '', 1795636454449, '01a21445-e42e-7208-822d-b20bf1dadbbc', 1781343120000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('054ae298355653bda5cfa24b5594ea7d84f92a1b61817b25852dceb7abd40400', '', '01a21445-e42d-748e-9978-81a6cd7cb8c5', 3, '019ec053-d4e0-7750-9c13-205617956c30', '', -240, '01a21445-e42d-748e-9978-81a6cd7cb8c5', 'permeate', 'test', '', 1795636454449, '01a21445-e42e-7208-822d-b20bf1dadbbc', 1781343180000, 'own');
INSERT INTO settings (name, tenant_id, value) VALUES ('units', 'own', 'si');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636454446, 'rinsewright = 1

[site] # invented
name = "Gull Point"
', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '01a21445-e42d-748e-9978-81a6cd7cb8c5', 1, '01a21445-e42e-7208-822d-b20bf1dadbbc', 'own');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636454447, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-e42d-748e-9978-81a6cd7cb8c5', 2, '01a21445-e42e-7208-822d-b20bf1dadbbc', 'own');
INSERT INTO sites (changed_ms, created_ms, file, foreseen, gone_ms, hash, id, looked, name, practice, rev, runs_out, search, sort_key, tenant_id, urgency) VALUES (1795636454447, 1795636454446, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 5, 0, 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-e42e-7208-822d-b20bf1dadbbc', 5, 'Gull Point, as it was left', 0, 2, 999999, 'gull point, as it was left', '67756c6c20706f696e742c20617320697420776173206c656674', 'own', 5);
