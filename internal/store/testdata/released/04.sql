-- Invented data as version 4 of the tables left it.
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
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-c008-7d88-8b25-b2ee9e737550', 1795636445192, '', 'kit, owner', 'a692c05dbf63b9b8abb939ddba99a66d15dcb0b9b051485e7b50e890548d29bf', '01a21445-c008-7d88-8b25-b2ee9e737550', 1, 'own', 'person.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-c009-7e1e-8a52-88f532e745f9', 1795636445193, 'a692c05dbf63b9b8abb939ddba99a66d15dcb0b9b051485e7b50e890548d29bf', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', 'd6535d3a6ac2dffaf4fd09112508d7060a3bb02503e6017e12d0300cd008ba52', '01a21445-c008-7d88-8b25-b2ee9e737550', 2, 'own', 'site.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-c009-7e1e-8a52-88f532e745f9', 1795636445194, 'd6535d3a6ac2dffaf4fd09112508d7060a3bb02503e6017e12d0300cd008ba52', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '1a5166d671ba49bd5b4b12297befcd9061f3e5372b83bac85ce44bce52360f67', '01a21445-c008-7d88-8b25-b2ee9e737550', 3, 'own', 'site.saved');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-0020-709d-be62-9cb8d1beaa8e', 1795636445195, '1a5166d671ba49bd5b4b12297befcd9061f3e5372b83bac85ce44bce52360f67', 'ba4350cebfb513275100b782414b935f1598a5c78f9ebd5ef21d1882c90d6d52', '995dc117b07aaeca3bacb81d0c8cc1602718360096afd9e57c0e831c63ba15ae', '01a21445-c008-7d88-8b25-b2ee9e737550', 4, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-ea80-778c-b438-22139b248b85', 1795636445196, '995dc117b07aaeca3bacb81d0c8cc1602718360096afd9e57c0e831c63ba15ae', '760c00968f5ea70a5e4b452947012b402e173095a103206d587ba9a08f6056c7', '91d5feece1f049e25c8ca504f57fa270b1f7b722d695f03b6930ff67a669d96d', '01a21445-c008-7d88-8b25-b2ee9e737550', 5, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec053-d4e0-76a2-90a2-0085c4ac3fa1', 1795636445196, '91d5feece1f049e25c8ca504f57fa270b1f7b722d695f03b6930ff67a669d96d', '89730f7c766798fa7493c162a4d6abc483ec7bc7e1ea26710bc9ce128de545ec', '099d776b62f3c493ee3d3fc8a269e892cc0b0441e035def259ee9701ff9f249c', '01a21445-c008-7d88-8b25-b2ee9e737550', 6, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('units', 1795636445197, '099d776b62f3c493ee3d3fc8a269e892cc0b0441e035def259ee9701ff9f249c', 'si', '5db40be749889292f2834a62db693918156e5145c6dd06343a9b19b994b87392', '01a21445-c008-7d88-8b25-b2ee9e737550', 7, 'own', 'setting.set');
INSERT INTO audit_head (hash, seq, tenant_id) VALUES ('5db40be749889292f2834a62db693918156e5145c6dd06343a9b19b994b87392', 7, 'own');
INSERT INTO people (created_ms, decimal_mark, gone_ms, id, login, name, password, role, tenant_id, units) VALUES (1795636445192, '', 0, '01a21445-c008-7d88-8b25-b2ee9e737550', 'kit', 'Kit', 'none', 'owner', 'own', '');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-0020-709d-be62-9cb8d1beaa8e', 0.009, '01a21445-c009-7e1e-8a52-88f532e745f9', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-ea80-778c-b438-22139b248b85', 0.009, '01a21445-c009-7e1e-8a52-88f532e745f9', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec053-d4e0-76a2-90a2-0085c4ac3fa1', 0.009, '01a21445-c009-7e1e-8a52-88f532e745f9', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('ba4350cebfb513275100b782414b935f1598a5c78f9ebd5ef21d1882c90d6d52', '', '01a21445-c008-7d88-8b25-b2ee9e737550', 1, '019ec052-0020-709d-be62-9cb8d1beaa8e', '', -240, '01a21445-c008-7d88-8b25-b2ee9e737550', 'permeate', 'test', '', 1795636445195, '01a21445-c009-7e1e-8a52-88f532e745f9', 1781343060000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('760c00968f5ea70a5e4b452947012b402e173095a103206d587ba9a08f6056c7', '', '01a21445-c008-7d88-8b25-b2ee9e737550', 2, '019ec052-ea80-778c-b438-22139b248b85', '', -240, '01a21445-c008-7d88-8b25-b2ee9e737550', 'permeate', 'test', '', 1795636445196, '01a21445-c009-7e1e-8a52-88f532e745f9', 1781343120000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('89730f7c766798fa7493c162a4d6abc483ec7bc7e1ea26710bc9ce128de545ec', '', '01a21445-c008-7d88-8b25-b2ee9e737550', 3, '019ec053-d4e0-76a2-90a2-0085c4ac3fa1', '', -240, '01a21445-c008-7d88-8b25-b2ee9e737550', 'permeate', 'test', '', 1795636445196, '01a21445-c009-7e1e-8a52-88f532e745f9', 1781343180000, 'own');
INSERT INTO settings (name, tenant_id, value) VALUES ('units', 'own', 'si');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636445193, 'rinsewright = 1

[site] # invented
name = "Gull Point"
', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '01a21445-c008-7d88-8b25-b2ee9e737550', 1, '01a21445-c009-7e1e-8a52-88f532e745f9', 'own');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636445194, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-c008-7d88-8b25-b2ee9e737550', 2, '01a21445-c009-7e1e-8a52-88f532e745f9', 'own');
INSERT INTO sites (changed_ms, created_ms, file, gone_ms, hash, id, name, practice, rev, search, sort_key, tenant_id, urgency) VALUES (1795636445194, 1795636445193, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 0, 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-c009-7e1e-8a52-88f532e745f9', 'Gull Point, as it was left', 0, 2, 'gull point, as it was left', '67756c6c20706f696e742c20617320697420776173206c656674', 'own', 5);
