-- Invented data as version 6 of the tables left it.
CREATE TABLE people (
    tenant_id TEXT NOT NULL,
    id TEXT NOT NULL,
    login TEXT NOT NULL,
    name TEXT NOT NULL,
    role TEXT NOT NULL,
    password TEXT NOT NULL,
    created_ms BIGINT NOT NULL,
    gone_ms BIGINT NOT NULL, units TEXT NOT NULL DEFAULT '', decimal_mark TEXT NOT NULL DEFAULT '',
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
    PRIMARY KEY (tenant_id, id)
);
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
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-cb17-7847-b79f-77417b440eaa', 1795636448023, '', 'kit, owner', 'e1476ee530c7062f0af800e017aecdf6daf76dbd14df3cd6d9f1b7a25de86b0c', '01a21445-cb17-7847-b79f-77417b440eaa', 1, 'own', 'person.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-cb18-7969-ace2-288a52cbe5bd', 1795636448024, 'e1476ee530c7062f0af800e017aecdf6daf76dbd14df3cd6d9f1b7a25de86b0c', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '1f250e35085520ff7c22c91782d4608ccf5778f1e19147691c35d98213c4de02', '01a21445-cb17-7847-b79f-77417b440eaa', 2, 'own', 'site.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-cb18-7969-ace2-288a52cbe5bd', 1795636448025, '1f250e35085520ff7c22c91782d4608ccf5778f1e19147691c35d98213c4de02', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', 'f6b3844843c8cf35b50bac7a1a70c532bc36b31c3915eaf639d1ab0dfacf25db', '01a21445-cb17-7847-b79f-77417b440eaa', 3, 'own', 'site.saved');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-0020-7119-a593-8f647592c56e', 1795636448025, 'f6b3844843c8cf35b50bac7a1a70c532bc36b31c3915eaf639d1ab0dfacf25db', 'bedceac0c5500de8daf2edcb54788ebea8eb61e84cf65ee0a6e7510110486522', 'dc531d0d3f0df629c9793da472b6d0f833b070105c8da3c6d210d903107a1310', '01a21445-cb17-7847-b79f-77417b440eaa', 4, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-ea80-7214-8f80-93e2f703f0d6', 1795636448026, 'dc531d0d3f0df629c9793da472b6d0f833b070105c8da3c6d210d903107a1310', '125ada0465a3321671f257ce693003b60da463cd93b483bac2fc39fa70c5c4f3', '3722f2e14322193145c720e212238e0e2f0364207bc30209b62dd3583882a84f', '01a21445-cb17-7847-b79f-77417b440eaa', 5, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec053-d4e0-7acb-bb0e-4a6abcfd78ea', 1795636448027, '3722f2e14322193145c720e212238e0e2f0364207bc30209b62dd3583882a84f', 'db92cc2a0bb3bf5716f68ea16b0bfd6b86bb86a71aa835933375724851027acc', 'f32b795a43da5c11eaf20fafa16eba4615cdf457f0a10b0e79a369134e998060', '01a21445-cb17-7847-b79f-77417b440eaa', 6, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('units', 1795636448027, 'f32b795a43da5c11eaf20fafa16eba4615cdf457f0a10b0e79a369134e998060', 'si', 'afb31561c66b8d79b47be259b1ebc45123245032e18afe5d2c06ef9b346d06ef', '01a21445-cb17-7847-b79f-77417b440eaa', 7, 'own', 'setting.set');
INSERT INTO audit_head (hash, seq, tenant_id) VALUES ('afb31561c66b8d79b47be259b1ebc45123245032e18afe5d2c06ef9b346d06ef', 7, 'own');
INSERT INTO people (created_ms, decimal_mark, gone_ms, id, login, name, password, role, tenant_id, units) VALUES (1795636448023, '', 0, '01a21445-cb17-7847-b79f-77417b440eaa', 'kit', 'Kit', 'none', 'owner', 'own', '');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-0020-7119-a593-8f647592c56e', 0.009, '01a21445-cb18-7969-ace2-288a52cbe5bd', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-ea80-7214-8f80-93e2f703f0d6', 0.009, '01a21445-cb18-7969-ace2-288a52cbe5bd', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec053-d4e0-7acb-bb0e-4a6abcfd78ea', 0.009, '01a21445-cb18-7969-ace2-288a52cbe5bd', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('bedceac0c5500de8daf2edcb54788ebea8eb61e84cf65ee0a6e7510110486522', '', '01a21445-cb17-7847-b79f-77417b440eaa', 1, '019ec052-0020-7119-a593-8f647592c56e', '', -240, '01a21445-cb17-7847-b79f-77417b440eaa', 'permeate', 'test', '', 1795636448025, '01a21445-cb18-7969-ace2-288a52cbe5bd', 1781343060000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('125ada0465a3321671f257ce693003b60da463cd93b483bac2fc39fa70c5c4f3', '', '01a21445-cb17-7847-b79f-77417b440eaa', 2, '019ec052-ea80-7214-8f80-93e2f703f0d6', '', -240, '01a21445-cb17-7847-b79f-77417b440eaa', 'permeate', 'test', '', 1795636448026, '01a21445-cb18-7969-ace2-288a52cbe5bd', 1781343120000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('db92cc2a0bb3bf5716f68ea16b0bfd6b86bb86a71aa835933375724851027acc', '', '01a21445-cb17-7847-b79f-77417b440eaa', 3, '019ec053-d4e0-7acb-bb0e-4a6abcfd78ea', '', -240, '01a21445-cb17-7847-b79f-77417b440eaa', 'permeate', 'test', '', 1795636448027, '01a21445-cb18-7969-ace2-288a52cbe5bd', 1781343180000, 'own');
INSERT INTO settings (name, tenant_id, value) VALUES ('units', 'own', 'si');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636448024, 'rinsewright = 1

[site] # invented
name = "Gull Point"
', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '01a21445-cb17-7847-b79f-77417b440eaa', 1, '01a21445-cb18-7969-ace2-288a52cbe5bd', 'own');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636448025, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-cb17-7847-b79f-77417b440eaa', 2, '01a21445-cb18-7969-ace2-288a52cbe5bd', 'own');
INSERT INTO sites (changed_ms, created_ms, file, gone_ms, hash, id, name, practice, rev, search, sort_key, tenant_id, urgency) VALUES (1795636448025, 1795636448024, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 0, 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-cb18-7969-ace2-288a52cbe5bd', 'Gull Point, as it was left', 0, 2, 'gull point, as it was left', '67756c6c20706f696e742c20617320697420776173206c656674', 'own', 5);
