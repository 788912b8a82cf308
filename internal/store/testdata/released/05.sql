-- Invented data as version 5 of the tables left it.
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
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-c5ba-743f-bfd7-d7085ad28a80', 1795636446650, '', 'kit, owner', 'a08ca0f6f4ed21b08a263185009750a299613d423438aae33e3734c6efdf713f', '01a21445-c5ba-743f-bfd7-d7085ad28a80', 1, 'own', 'person.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-c5bb-751d-bff7-9ed84606334b', 1795636446651, 'a08ca0f6f4ed21b08a263185009750a299613d423438aae33e3734c6efdf713f', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '170150415195f7cc6636fd79f6a52769cc0e917ede2437d3ac635a3cdc62c75f', '01a21445-c5ba-743f-bfd7-d7085ad28a80', 2, 'own', 'site.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-c5bb-751d-bff7-9ed84606334b', 1795636446654, '170150415195f7cc6636fd79f6a52769cc0e917ede2437d3ac635a3cdc62c75f', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '2a9d4af902999c4ace55e986ebc4bebd7812503de5e45eadd9051994830841cf', '01a21445-c5ba-743f-bfd7-d7085ad28a80', 3, 'own', 'site.saved');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-0020-79ac-b4d4-95eda4c936a5', 1795636446656, '2a9d4af902999c4ace55e986ebc4bebd7812503de5e45eadd9051994830841cf', 'b6e4606d3b8ad615cc715a8fb6dddcac25379c95191e92a6133a84f65c850a7f', '4fdc425ad05f2ba804275e32fdee7e0ce982c41a042b8895254f8b1d9e076206', '01a21445-c5ba-743f-bfd7-d7085ad28a80', 4, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-ea80-779a-9901-bc7bdff5866b', 1795636446657, '4fdc425ad05f2ba804275e32fdee7e0ce982c41a042b8895254f8b1d9e076206', 'b5ebc599c04698069ed9ebe323fdab5f692bf5dc83c49e97a790173e16c4ab4f', '78a5900baebd74d351bfe175888863064335f34f812bdda33173ac8623e99cc7', '01a21445-c5ba-743f-bfd7-d7085ad28a80', 5, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec053-d4e0-7e31-878e-1030999e793a', 1795636446660, '78a5900baebd74d351bfe175888863064335f34f812bdda33173ac8623e99cc7', '7814a51ef779b454e449c3e5647ab4020f8b4f6aa6535db5982abfb2df7ad483', '952dfc1441fe873f6a557462d719674c294535c7a3e0935e5e9bc2dc0c09aa21', '01a21445-c5ba-743f-bfd7-d7085ad28a80', 6, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('units', 1795636446660, '952dfc1441fe873f6a557462d719674c294535c7a3e0935e5e9bc2dc0c09aa21', 'si', '778d4918b4e91119308b5264b4d520301a3ff16dfd044a023e4f51dde265f022', '01a21445-c5ba-743f-bfd7-d7085ad28a80', 7, 'own', 'setting.set');
INSERT INTO audit_head (hash, seq, tenant_id) VALUES ('778d4918b4e91119308b5264b4d520301a3ff16dfd044a023e4f51dde265f022', 7, 'own');
INSERT INTO people (created_ms, decimal_mark, gone_ms, id, login, name, password, role, tenant_id, units) VALUES (1795636446650, '', 0, '01a21445-c5ba-743f-bfd7-d7085ad28a80', 'kit', 'Kit', 'none', 'owner', 'own', '');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-0020-79ac-b4d4-95eda4c936a5', 0.009, '01a21445-c5bb-751d-bff7-9ed84606334b', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-ea80-779a-9901-bc7bdff5866b', 0.009, '01a21445-c5bb-751d-bff7-9ed84606334b', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec053-d4e0-7e31-878e-1030999e793a', 0.009, '01a21445-c5bb-751d-bff7-9ed84606334b', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('b6e4606d3b8ad615cc715a8fb6dddcac25379c95191e92a6133a84f65c850a7f', '', '01a21445-c5ba-743f-bfd7-d7085ad28a80', 1, '019ec052-0020-79ac-b4d4-95eda4c936a5', '', -240, '01a21445-c5ba-743f-bfd7-d7085ad28a80', 'permeate', 'test', '', 1795636446656, '01a21445-c5bb-751d-bff7-9ed84606334b', 1781343060000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('b5ebc599c04698069ed9ebe323fdab5f692bf5dc83c49e97a790173e16c4ab4f', '', '01a21445-c5ba-743f-bfd7-d7085ad28a80', 2, '019ec052-ea80-779a-9901-bc7bdff5866b', '', -240, '01a21445-c5ba-743f-bfd7-d7085ad28a80', 'permeate', 'test', '', 1795636446657, '01a21445-c5bb-751d-bff7-9ed84606334b', 1781343120000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('7814a51ef779b454e449c3e5647ab4020f8b4f6aa6535db5982abfb2df7ad483', '', '01a21445-c5ba-743f-bfd7-d7085ad28a80', 3, '019ec053-d4e0-7e31-878e-1030999e793a', '', -240, '01a21445-c5ba-743f-bfd7-d7085ad28a80', 'permeate', 'test', '', 1795636446660, '01a21445-c5bb-751d-bff7-9ed84606334b', 1781343180000, 'own');
INSERT INTO settings (name, tenant_id, value) VALUES ('units', 'own', 'si');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636446651, 'rinsewright = 1

[site] # invented
name = "Gull Point"
', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '01a21445-c5ba-743f-bfd7-d7085ad28a80', 1, '01a21445-c5bb-751d-bff7-9ed84606334b', 'own');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636446654, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-c5ba-743f-bfd7-d7085ad28a80', 2, '01a21445-c5bb-751d-bff7-9ed84606334b', 'own');
INSERT INTO sites (changed_ms, created_ms, file, gone_ms, hash, id, name, practice, rev, search, sort_key, tenant_id, urgency) VALUES (1795636446654, 1795636446651, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 0, 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-c5bb-751d-bff7-9ed84606334b', 'Gull Point, as it was left', 0, 2, 'gull point, as it was left', '67756c6c20706f696e742c20617320697420776173206c656674', 'own', 5);
