-- Invented data as version 3 of the tables left it.
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
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-bb64-70ee-9074-5339e1c17057', 1795636444004, '', 'kit, owner', 'bf4843a91f059f895147f9fb603cc09b62ba116216a59955e76908f50a87853d', '01a21445-bb64-70ee-9074-5339e1c17057', 1, 'own', 'person.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-bb65-7457-b125-36613a5d6fa3', 1795636444005, 'bf4843a91f059f895147f9fb603cc09b62ba116216a59955e76908f50a87853d', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', 'aea5f46abfc37c412a30181974c3185a1f69e8de3ff02a78acc3ebfd0a0edf07', '01a21445-bb64-70ee-9074-5339e1c17057', 2, 'own', 'site.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-bb65-7457-b125-36613a5d6fa3', 1795636444006, 'aea5f46abfc37c412a30181974c3185a1f69e8de3ff02a78acc3ebfd0a0edf07', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '72188e512fc6e6c483595fc6e2de33a477322619388a701521310bb16c87cb6c', '01a21445-bb64-70ee-9074-5339e1c17057', 3, 'own', 'site.saved');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-0020-76d2-8bff-384cde2ae4db', 1795636444006, '72188e512fc6e6c483595fc6e2de33a477322619388a701521310bb16c87cb6c', '2f1e2171274622019d92c590c8315fa2bf5dfd8f128719eaa5abc148a6bf693e', '45dec2a2ced5c5794ec73a976b7507666c06ab4ce4c82c7f3cdf05a1cfea4eb6', '01a21445-bb64-70ee-9074-5339e1c17057', 4, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-ea80-7593-8d4c-b63b1e44bdcb', 1795636444007, '45dec2a2ced5c5794ec73a976b7507666c06ab4ce4c82c7f3cdf05a1cfea4eb6', 'dae475a87bb29fdf9a0e3d4c5515e3ab0a95c5be2859b2240129b0d81a29c54f', '8bd50104179ff728c628c4ab3f893b844c27e4da8a3439a1cf8522df2e5091cf', '01a21445-bb64-70ee-9074-5339e1c17057', 5, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec053-d4e0-7bfa-b21b-5f82d3db9b2b', 1795636444011, '8bd50104179ff728c628c4ab3f893b844c27e4da8a3439a1cf8522df2e5091cf', '3d48cdd97e6a6de80bbbcb195f414813c9b84a7ea1dcff77cb467a0de66fd758', 'bde113e694ff3a99027c07f0dc5f97b27ef23d431b56b2acfa52b88f979e6adf', '01a21445-bb64-70ee-9074-5339e1c17057', 6, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('units', 1795636444015, 'bde113e694ff3a99027c07f0dc5f97b27ef23d431b56b2acfa52b88f979e6adf', 'si', '28953f674a98f4fff3792fb2ba75ddf8ca88ee3ff10a139192deb6d662488e42', '01a21445-bb64-70ee-9074-5339e1c17057', 7, 'own', 'setting.set');
INSERT INTO audit_head (hash, seq, tenant_id) VALUES ('28953f674a98f4fff3792fb2ba75ddf8ca88ee3ff10a139192deb6d662488e42', 7, 'own');
INSERT INTO people (created_ms, decimal_mark, gone_ms, id, login, name, password, role, tenant_id, units) VALUES (1795636444004, '', 0, '01a21445-bb64-70ee-9074-5339e1c17057', 'kit', 'Kit', 'none', 'owner', 'own', '');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-0020-76d2-8bff-384cde2ae4db', 0.009, '01a21445-bb65-7457-b125-36613a5d6fa3', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-ea80-7593-8d4c-b63b1e44bdcb', 0.009, '01a21445-bb65-7457-b125-36613a5d6fa3', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec053-d4e0-7bfa-b21b-5f82d3db9b2b', 0.009, '01a21445-bb65-7457-b125-36613a5d6fa3', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('2f1e2171274622019d92c590c8315fa2bf5dfd8f128719eaa5abc148a6bf693e', '', '01a21445-bb64-70ee-9074-5339e1c17057', 1, '019ec052-0020-76d2-8bff-384cde2ae4db', '', -240, '01a21445-bb64-70ee-9074-5339e1c17057', 'permeate', 'test', '', 1795636444006, '01a21445-bb65-7457-b125-36613a5d6fa3', 1781343060000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('dae475a87bb29fdf9a0e3d4c5515e3ab0a95c5be2859b2240129b0d81a29c54f', '', '01a21445-bb64-70ee-9074-5339e1c17057', 2, '019ec052-ea80-7593-8d4c-b63b1e44bdcb', '', -240, '01a21445-bb64-70ee-9074-5339e1c17057', 'permeate', 'test', '', 1795636444007, '01a21445-bb65-7457-b125-36613a5d6fa3', 1781343120000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('3d48cdd97e6a6de80bbbcb195f414813c9b84a7ea1dcff77cb467a0de66fd758', '', '01a21445-bb64-70ee-9074-5339e1c17057', 3, '019ec053-d4e0-7bfa-b21b-5f82d3db9b2b', '', -240, '01a21445-bb64-70ee-9074-5339e1c17057', 'permeate', 'test', '', 1795636444011, '01a21445-bb65-7457-b125-36613a5d6fa3', 1781343180000, 'own');
INSERT INTO settings (name, tenant_id, value) VALUES ('units', 'own', 'si');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636444005, 'rinsewright = 1

[site] # invented
name = "Gull Point"
', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '01a21445-bb64-70ee-9074-5339e1c17057', 1, '01a21445-bb65-7457-b125-36613a5d6fa3', 'own');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636444006, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-bb64-70ee-9074-5339e1c17057', 2, '01a21445-bb65-7457-b125-36613a5d6fa3', 'own');
INSERT INTO sites (changed_ms, created_ms, file, gone_ms, hash, id, name, practice, rev, search, sort_key, tenant_id, urgency) VALUES (1795636444006, 1795636444005, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 0, 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-bb65-7457-b125-36613a5d6fa3', 'Gull Point, as it was left', 0, 2, 'gull point, as it was left', '67756c6c20706f696e742c20617320697420776173206c656674', 'own', 5);
