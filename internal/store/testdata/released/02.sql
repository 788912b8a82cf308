-- Invented data as version 2 of the tables left it.
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
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-b63f-7237-a9e3-663f67027697', 1795636442687, '', 'kit, owner', 'e53a9ad6ae564606f446ed84d9e944b1b5603462b709d88b8aec69c3a72e170a', '01a21445-b63f-7237-a9e3-663f67027697', 1, 'own', 'person.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-b643-73df-82c2-c53964ead4d3', 1795636442691, 'e53a9ad6ae564606f446ed84d9e944b1b5603462b709d88b8aec69c3a72e170a', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '00d4c6091dc0dd716de7ddee15db3121bea550a541bd6640dfd64fb162e55a24', '01a21445-b63f-7237-a9e3-663f67027697', 2, 'own', 'site.added');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('01a21445-b643-73df-82c2-c53964ead4d3', 1795636442692, '00d4c6091dc0dd716de7ddee15db3121bea550a541bd6640dfd64fb162e55a24', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '904e5d975cd3ece2e7a50f7a195bf5b31b16c7577e66c4172f3dcfb7e388be02', '01a21445-b63f-7237-a9e3-663f67027697', 3, 'own', 'site.saved');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-0020-795c-be0c-277c5864f59f', 1795636442693, '904e5d975cd3ece2e7a50f7a195bf5b31b16c7577e66c4172f3dcfb7e388be02', '62892192bf46dd23925e083f971cf9942208cb057aa2ddab8f44ab5bc72f6176', '059aabeec05ac91219692a4df17ad051b8b16b529c25b3ff1c525538cf8605ed', '01a21445-b63f-7237-a9e3-663f67027697', 4, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec052-ea80-7e61-9a52-a31c706f45fb', 1795636442694, '059aabeec05ac91219692a4df17ad051b8b16b529c25b3ff1c525538cf8605ed', '328ca3e15e34809ca6a231e0feccd949c2e5c5ef4ca138fcef7e9f21079a661a', '82b1a218553c990a7716bb893549559d94a7a51e215ef69194de2df38e62f73e', '01a21445-b63f-7237-a9e3-663f67027697', 5, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('019ec053-d4e0-71cb-86a1-5c1edf8657e8', 1795636442695, '82b1a218553c990a7716bb893549559d94a7a51e215ef69194de2df38e62f73e', 'a32c4c025a64999a02766305a8a0a0de5fc28a913f9a14373c71c2cadf68a66d', '67c494108afa04d863ee7783e7677e3a4355fa5c64ec1e1a6a11557fb75fc83e', '01a21445-b63f-7237-a9e3-663f67027697', 6, 'own', 'sample.logged');
INSERT INTO audit (about, at_ms, before_hash, detail, hash, person_id, seq, tenant_id, what) VALUES ('units', 1795636442695, '67c494108afa04d863ee7783e7677e3a4355fa5c64ec1e1a6a11557fb75fc83e', 'si', '1140a18c6484f1070f5a1fe9b03333ea29865ea634e43deac297178f2074f0af', '01a21445-b63f-7237-a9e3-663f67027697', 7, 'own', 'setting.set');
INSERT INTO audit_head (hash, seq, tenant_id) VALUES ('1140a18c6484f1070f5a1fe9b03333ea29865ea634e43deac297178f2074f0af', 7, 'own');
INSERT INTO people (created_ms, decimal_mark, gone_ms, id, login, name, password, role, tenant_id, units) VALUES (1795636442687, '', 0, '01a21445-b63f-7237-a9e3-663f67027697', 'kit', 'Kit', 'none', 'owner', 'own', '');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-0020-795c-be0c-277c5864f59f', 0.009, '01a21445-b643-73df-82c2-c53964ead4d3', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec052-ea80-7e61-9a52-a31c706f45fb', 0.009, '01a21445-b643-73df-82c2-c53964ead4d3', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO readings (name, sample_id, si, site_id, skipped, tenant_id, typed, unit) VALUES ('strength', '019ec053-d4e0-71cb-86a1-5c1edf8657e8', 0.009, '01a21445-b643-73df-82c2-c53964ead4d3', '', 'own', '9 ppm', 'kg/m3');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('62892192bf46dd23925e083f971cf9942208cb057aa2ddab8f44ab5bc72f6176', '', '01a21445-b63f-7237-a9e3-663f67027697', 1, '019ec052-0020-795c-be0c-277c5864f59f', '', -240, '01a21445-b63f-7237-a9e3-663f67027697', 'permeate', 'test', '', 1795636442693, '01a21445-b643-73df-82c2-c53964ead4d3', 1781343060000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('328ca3e15e34809ca6a231e0feccd949c2e5c5ef4ca138fcef7e9f21079a661a', '', '01a21445-b63f-7237-a9e3-663f67027697', 2, '019ec052-ea80-7e61-9a52-a31c706f45fb', '', -240, '01a21445-b63f-7237-a9e3-663f67027697', 'permeate', 'test', '', 1795636442694, '01a21445-b643-73df-82c2-c53964ead4d3', 1781343120000, 'own');
INSERT INTO samples (content_hash, corrects, device_id, device_seq, id, note, offset_min, person_id, place, program, reason, received_ms, site_id, taken_ms, tenant_id) VALUES ('a32c4c025a64999a02766305a8a0a0de5fc28a913f9a14373c71c2cadf68a66d', '', '01a21445-b63f-7237-a9e3-663f67027697', 3, '019ec053-d4e0-71cb-86a1-5c1edf8657e8', '', -240, '01a21445-b63f-7237-a9e3-663f67027697', 'permeate', 'test', '', 1795636442695, '01a21445-b643-73df-82c2-c53964ead4d3', 1781343180000, 'own');
INSERT INTO settings (name, tenant_id, value) VALUES ('units', 'own', 'si');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636442691, 'rinsewright = 1

[site] # invented
name = "Gull Point"
', 'e5f6ecc04ae04b7f1a8eb14f437728c0e9faf62e9a2744d9f2adfe4c0590eb48', '01a21445-b63f-7237-a9e3-663f67027697', 1, '01a21445-b643-73df-82c2-c53964ead4d3', 'own');
INSERT INTO site_revisions (at_ms, file, hash, person_id, rev, site_id, tenant_id) VALUES (1795636442692, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-b63f-7237-a9e3-663f67027697', 2, '01a21445-b643-73df-82c2-c53964ead4d3', 'own');
INSERT INTO sites (changed_ms, created_ms, file, gone_ms, hash, id, name, practice, rev, search, sort_key, tenant_id, urgency) VALUES (1795636442692, 1795636442691, 'rinsewright = 1

[site] # invented
name = "Gull Point, as it was left"
', 0, 'f12111229afe2dc316f723c93373412bdcbcc8368766f5bbaffb29c66311da64', '01a21445-b643-73df-82c2-c53964ead4d3', 'Gull Point, as it was left', 0, 2, 'gull point, as it was left', '67756c6c20706f696e742c20617320697420776173206c656674', 'own', 5);
