-- Invented data as version 1 of the tables left it.
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
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-b033-7707-a305-9da893b8020f', 1795636441139, '', 'kit, owner', 'e8ffe5c58ec4b7f0a19205897545047c65ce38c9ea168a46d52d948d4a5a254b', '01a21445-b033-7707-a305-9da893b8020f', 1, 'own', 'person.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-b044-7d51-a001-a580f4ae8697', 1795636441156, 'e8ffe5c58ec4b7f0a19205897545047c65ce38c9ea168a46d52d948d4a5a254b', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '2680c0475374e0c0af501bd9fc91a09ec6afa40ed5ed1e459da36facfba31893', '01a21445-b033-7707-a305-9da893b8020f', 2, 'own', 'site.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-b044-7d51-a001-a580f4ae8697', 1795636441163, '2680c0475374e0c0af501bd9fc91a09ec6afa40ed5ed1e459da36facfba31893', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '28ccd873b75eb7d885cdd964bd0cdee3f5ad0875fb322ea708f1df3e60b1fa90', '01a21445-b033-7707-a305-9da893b8020f', 3, 'own', 'site.saved');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-0020-70b4-85ac-d776f50b8cc9', 1795636441175, '28ccd873b75eb7d885cdd964bd0cdee3f5ad0875fb322ea708f1df3e60b1fa90', '66c8b8bd25dcde2891dbdd97cef95a2b45f296c0a8df777f324c0011abf33b1c', 'b259d77a052a091eb44fd6fa819995cbb0c133188b9e1d0ae5e9533de85b121f', '01a21445-b033-7707-a305-9da893b8020f', 4, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-ea80-7967-b6c7-50fb723c979c', 1795636441183, 'b259d77a052a091eb44fd6fa819995cbb0c133188b9e1d0ae5e9533de85b121f', '9ebee7298eeadd7404b460bfdf9c49457ce86f2cef6af384b5f7f8c9a8eb98e9', '89b6a163c8c780681fac85d89e9e78569f33f720f5d00606d368de960661f3f4', '01a21445-b033-7707-a305-9da893b8020f', 5, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec053-d4e0-7cd0-a5ea-44669945eabd', 1795636441195, '89b6a163c8c780681fac85d89e9e78569f33f720f5d00606d368de960661f3f4', 'ce96c5d3f0bea569716009421e14e56ec64d6b1bea1df1250b6036bcd7a465cb', '3d78734252605605be901a485c63227c6f183966c244f9a0a04b250926145eaf', '01a21445-b033-7707-a305-9da893b8020f', 6, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('units', 1795636441200, '3d78734252605605be901a485c63227c6f183966c244f9a0a04b250926145eaf', 'si', '0b01550de15f2d5fd639009d7aea57d308aff95009ce1f6bc3debb7c673b87ac', '01a21445-b033-7707-a305-9da893b8020f', 7, 'own', 'setting.set');
INSERT INTO audit_head (hash, seq, tenant_id) VALUES ('0b01550de15f2d5fd639009d7aea57d308aff95009ce1f6bc3debb7c673b87ac', 7, 'own');
INSERT INTO people (created_ms, gone_ms, id, login, name, password, role, tenant_id) VALUES (1795636441139, 0, '01a21445-b033-7707-a305-9da893b8020f', 'kit', 'Kit', 'none', 'owner', 'own');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-0020-70b4-85ac-d776f50b8cc9', 0.009, '01a21445-b044-7d51-a001-a580f4ae8697', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-ea80-7967-b6c7-50fb723c979c', 0.009, '01a21445-b044-7d51-a001-a580f4ae8697', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec053-d4e0-7cd0-a5ea-44669945eabd', 0.009, '01a21445-b044-7d51-a001-a580f4ae8697', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('66c8b8bd25dcde2891dbdd97cef95a2b45f296c0a8df777f324c0011abf33b1c', '', '01a21445-b033-7707-a305-9da893b8020f', 1, '019ec052-0020-70b4-85ac-d776f50b8cc9', '', -240, '01a21445-b033-7707-a305-9da893b8020f', 'permeate', 'test', '', 1795636441175, '01a21445-b044-7d51-a001-a580f4ae8697', 1781343060000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('9ebee7298eeadd7404b460bfdf9c49457ce86f2cef6af384b5f7f8c9a8eb98e9', '', '01a21445-b033-7707-a305-9da893b8020f', 2, '019ec052-ea80-7967-b6c7-50fb723c979c', '', -240, '01a21445-b033-7707-a305-9da893b8020f', 'permeate', 'test', '', 1795636441183, '01a21445-b044-7d51-a001-a580f4ae8697', 1781343120000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('ce96c5d3f0bea569716009421e14e56ec64d6b1bea1df1250b6036bcd7a465cb', '', '01a21445-b033-7707-a305-9da893b8020f', 3, '019ec053-d4e0-7cd0-a5ea-44669945eabd', '', -240, '01a21445-b033-7707-a305-9da893b8020f', 'permeate', 'test', '', 1795636441195, '01a21445-b044-7d51-a001-a580f4ae8697', 1781343180000, 'own');
INSERT INTO settings (name, tenant_id, value) VALUES ('units', 'own', 'si');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636441156, 'rinsewright = 1

[site] # invented
name = "Gull Point"
', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '01a21445-b033-7707-a305-9da893b8020f', 1, '01a21445-b044-7d51-a001-a580f4ae8697', 'own');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636441163, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-b033-7707-a305-9da893b8020f', 2, '01a21445-b044-7d51-a001-a580f4ae8697', 'own');
INSERT INTO sites (changed_ms, created_ms, file, glance, glance_hash, gone_ms, hash, id, name, practice, rev, search, sort_key, tenant_id, urgency) VALUES (1795636441163, 1795636441156, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', '', '', 0, 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-b044-7d51-a001-a580f4ae8697', 'Gull Point, as it was left', 0, 2, 'gull point, as it was left', '67756c6c20706f696e742c20617320697420776173206c656674', 'own', 5);
