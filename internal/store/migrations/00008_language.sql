-- +goose Up
-- The language a person reads; empty is as everyone does.
ALTER TABLE people ADD COLUMN language TEXT NOT NULL DEFAULT '';

-- +goose Down
ALTER TABLE people DROP COLUMN language;
