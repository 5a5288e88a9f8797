-- +goose Up
-- What is written once stays: the log of changes and published versions.
-- +goose StatementBegin
CREATE FUNCTION stays() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION 'rows of % are only added', TG_TABLE_NAME USING ERRCODE = 'integrity_constraint_violation';
END $$;
-- +goose StatementEnd
CREATE TRIGGER changes_stay   BEFORE UPDATE OR DELETE OR TRUNCATE ON changes   EXECUTE FUNCTION stays();
CREATE TRIGGER documents_stay BEFORE UPDATE OR DELETE OR TRUNCATE ON documents EXECUTE FUNCTION stays();

-- The second fence: a transaction sees the rows of the club it named and no
-- other, even where a query forgets to ask for it. Superusers pass it; the
-- server should not run as one.
-- +goose StatementBegin
DO $$
DECLARE t TEXT;
BEGIN
  FOREACH t IN ARRAY ARRAY['changes', 'answers', 'players', 'documents', 'active_documents', 'tryouts', 'observations',
    'assessments', 'verdicts', 'reviews', 'cues', 'throws', 'roster', 'grades', 'recusals', 'decisions', 'webhooks', 'deliveries']
  LOOP
    EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', t);
    EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', t);
    EXECUTE format('CREATE POLICY own_club ON %I USING (club_id = current_setting(''rootcue.club'', true))', t);
  END LOOP;

  -- Doors: found by the hash of the secret presented, before the club is known.
  FOREACH t IN ARRAY ARRAY['keys', 'sessions', 'links']
  LOOP
    EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', t);
    EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', t);
    EXECUTE format('CREATE POLICY own_club ON %I USING (club_id = current_setting(''rootcue.club'', true))', t);
    EXECUTE format('CREATE POLICY own_secret ON %I FOR SELECT USING (hash = current_setting(''rootcue.door'', true))', t);
  END LOOP;
END $$;
-- +goose StatementEnd

-- The list of clubs itself is for whoever runs the server.
ALTER TABLE clubs ENABLE ROW LEVEL SECURITY;
ALTER TABLE clubs FORCE ROW LEVEL SECURITY;
CREATE POLICY own_club ON clubs USING (id = current_setting('rootcue.club', true));
CREATE POLICY operator ON clubs FOR SELECT USING (current_setting('rootcue.operator', true) = 'on');
