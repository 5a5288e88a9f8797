active_documents.club_id text COLLATE "C" NOT NULL
active_documents.kind text NOT NULL
active_documents.name text COLLATE "C" NOT NULL
active_documents.version bigint NOT NULL
active_documents: active_documents_club_id_kind_name_version_fkey FOREIGN KEY (club_id, kind, name, version) REFERENCES documents(club_id, kind, name, version)
active_documents: active_documents_pkey PRIMARY KEY (club_id, kind, name)
CREATE UNIQUE INDEX active_documents_pkey ON public.active_documents USING btree (club_id, kind, name)
active_documents: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
answers.club_id text COLLATE "C" NOT NULL
answers.key text NOT NULL
answers.route text NOT NULL
answers.body_hash text NOT NULL
answers.in_flight boolean NOT NULL
answers.status bigint NOT NULL
answers.content_type text NOT NULL
answers.body text NOT NULL
answers.created_at text NOT NULL
answers.expires text NOT NULL
answers: answers_club_id_fkey FOREIGN KEY (club_id) REFERENCES clubs(id)
answers: answers_pkey PRIMARY KEY (club_id, key)
CREATE UNIQUE INDEX answers_pkey ON public.answers USING btree (club_id, key)
answers: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
assessments.club_id text COLLATE "C" NOT NULL
assessments.id text COLLATE "C" NOT NULL
assessments.observation_id text COLLATE "C" NOT NULL
assessments.player_ref text COLLATE "C" NOT NULL
assessments.session text NOT NULL
assessments.on_date text COLLATE "C" NOT NULL
assessments.rubric text NOT NULL
assessments.rubric_version bigint NOT NULL
assessments.status text NOT NULL
assessments.measures text NOT NULL
assessments.body text COMPRESSION lz4 NOT NULL
assessments.created_at text NOT NULL
assessments: assessments_club_id_observation_id_fkey FOREIGN KEY (club_id, observation_id) REFERENCES observations(club_id, id)
assessments: assessments_club_id_player_ref_fkey FOREIGN KEY (club_id, player_ref) REFERENCES players(club_id, ref)
assessments: assessments_on_date_check CHECK ((on_date = to_char(((on_date)::date)::timestamp with time zone, 'YYYY-MM-DD'::text)))
assessments: assessments_pkey PRIMARY KEY (club_id, id)
assessments: assessments_status_check CHECK ((status = ANY (ARRAY['current'::text, 'old'::text])))
CREATE INDEX assessments_by_date ON public.assessments USING btree (club_id, on_date, id)
CREATE INDEX assessments_by_observation ON public.assessments USING btree (club_id, observation_id, on_date, id)
CREATE INDEX assessments_by_player ON public.assessments USING btree (club_id, player_ref, on_date, id)
CREATE INDEX assessments_by_rubric ON public.assessments USING btree (club_id, rubric, on_date, id)
CREATE INDEX assessments_by_session ON public.assessments USING btree (club_id, session, on_date, id) WHERE (session <> ''::text)
CREATE UNIQUE INDEX assessments_current ON public.assessments USING btree (club_id, observation_id) WHERE (status = 'current'::text)
CREATE UNIQUE INDEX assessments_pkey ON public.assessments USING btree (club_id, id)
assessments: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
changes.club_id text COLLATE "C" NOT NULL
changes.seq bigint NOT NULL
changes.at text NOT NULL
changes.who text NOT NULL
changes.what text NOT NULL
changes.entity text NOT NULL
changes.detail text NOT NULL
changes.prev_hash text NOT NULL
changes.hash text NOT NULL
changes: changes_club_id_fkey FOREIGN KEY (club_id) REFERENCES clubs(id)
changes: changes_pkey PRIMARY KEY (club_id, seq)
changes: changes_seq_check CHECK ((seq > 0))
CREATE INDEX changes_by_entity ON public.changes USING btree (club_id, entity, seq)
CREATE UNIQUE INDEX changes_pkey ON public.changes USING btree (club_id, seq)
changes: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
CREATE TRIGGER changes_stay BEFORE DELETE OR UPDATE OR TRUNCATE ON public.changes FOR EACH STATEMENT EXECUTE FUNCTION stays()
clubs.id text COLLATE "C" NOT NULL
clubs.name text COLLATE "C" NOT NULL
clubs.settings text NOT NULL
clubs.created_at text NOT NULL
clubs.log_key text NOT NULL
clubs.log_seq bigint NOT NULL
clubs.log_hash text NOT NULL
clubs: clubs_name_check CHECK ((name <> ''::text))
clubs: clubs_name_key UNIQUE (name)
clubs: clubs_pkey PRIMARY KEY (id)
CREATE UNIQUE INDEX clubs_name_key ON public.clubs USING btree (name)
CREATE UNIQUE INDEX clubs_pkey ON public.clubs USING btree (id)
clubs: POLICY operator r USING (current_setting('rootcue.operator'::text, true) = 'on'::text)
clubs: POLICY own_club * USING (id = current_setting('rootcue.club'::text, true))
cues.club_id text COLLATE "C" NOT NULL
cues.id text COLLATE "C" NOT NULL
cues.player_ref text COLLATE "C" NOT NULL
cues.assessment_id text COLLATE "C"
cues.fault text COLLATE "C" NOT NULL
cues.drill text NOT NULL
cues.handed_on text NOT NULL
cues.done_on text
cues.who text NOT NULL
cues.at text NOT NULL
cues: cues_club_id_assessment_id_fkey FOREIGN KEY (club_id, assessment_id) REFERENCES assessments(club_id, id)
cues: cues_club_id_player_ref_fkey FOREIGN KEY (club_id, player_ref) REFERENCES players(club_id, ref)
cues: cues_done_on_check CHECK ((done_on = to_char(((done_on)::date)::timestamp with time zone, 'YYYY-MM-DD'::text)))
cues: cues_handed_on_check CHECK ((handed_on = to_char(((handed_on)::date)::timestamp with time zone, 'YYYY-MM-DD'::text)))
cues: cues_pkey PRIMARY KEY (club_id, id)
CREATE INDEX cues_by_assessment ON public.cues USING btree (club_id, assessment_id) WHERE (assessment_id IS NOT NULL)
CREATE INDEX cues_by_player ON public.cues USING btree (club_id, player_ref, handed_on, id)
CREATE UNIQUE INDEX cues_pkey ON public.cues USING btree (club_id, id)
cues: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
decisions.club_id text COLLATE "C" NOT NULL
decisions.id text COLLATE "C" NOT NULL
decisions.tryout_id text COLLATE "C" NOT NULL
decisions.bib text COLLATE "C" NOT NULL
decisions.kind text NOT NULL
decisions.body text NOT NULL
decisions.who text NOT NULL
decisions.at text NOT NULL
decisions: decisions_club_id_tryout_id_bib_fkey FOREIGN KEY (club_id, tryout_id, bib) REFERENCES roster(club_id, tryout_id, bib)
decisions: decisions_kind_check CHECK ((kind = ANY (ARRAY['decision'::text, 'appeal'::text])))
decisions: decisions_pkey PRIMARY KEY (club_id, id)
CREATE INDEX decisions_by_bib ON public.decisions USING btree (club_id, tryout_id, bib)
CREATE UNIQUE INDEX decisions_pkey ON public.decisions USING btree (club_id, id)
decisions: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
deliveries.club_id text COLLATE "C" NOT NULL
deliveries.id text COLLATE "C" NOT NULL
deliveries.webhook_id text COLLATE "C" NOT NULL
deliveries.event text NOT NULL
deliveries.player_ref text COLLATE "C"
deliveries.body text NOT NULL
deliveries.state text NOT NULL
deliveries.attempts bigint NOT NULL
deliveries.http_status bigint
deliveries.problem text NOT NULL
deliveries.at text NOT NULL
deliveries.done_at text
deliveries: deliveries_club_id_player_ref_fkey FOREIGN KEY (club_id, player_ref) REFERENCES players(club_id, ref)
deliveries: deliveries_club_id_webhook_id_fkey FOREIGN KEY (club_id, webhook_id) REFERENCES webhooks(club_id, id)
deliveries: deliveries_pkey PRIMARY KEY (club_id, id)
CREATE INDEX deliveries_by_player ON public.deliveries USING btree (club_id, player_ref) WHERE (player_ref IS NOT NULL)
CREATE INDEX deliveries_by_webhook ON public.deliveries USING btree (club_id, webhook_id, id)
CREATE UNIQUE INDEX deliveries_pkey ON public.deliveries USING btree (club_id, id)
deliveries: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
documents.club_id text COLLATE "C" NOT NULL
documents.kind text NOT NULL
documents.name text COLLATE "C" NOT NULL
documents.version bigint NOT NULL
documents.source text COMPRESSION lz4 NOT NULL
documents.sha256 text NOT NULL
documents.who text NOT NULL
documents.why text NOT NULL
documents.at text NOT NULL
documents.effective_from text NOT NULL
documents: documents_club_id_fkey FOREIGN KEY (club_id) REFERENCES clubs(id)
documents: documents_effective_from_check CHECK ((effective_from = to_char(((effective_from)::date)::timestamp with time zone, 'YYYY-MM-DD'::text)))
documents: documents_kind_check CHECK ((kind = ANY (ARRAY['rubric'::text, 'policy'::text])))
documents: documents_name_check CHECK ((name <> ''::text))
documents: documents_pkey PRIMARY KEY (club_id, kind, name, version)
documents: documents_sha256_check CHECK ((length(sha256) = 64))
documents: documents_version_check CHECK ((version > 0))
CREATE UNIQUE INDEX documents_pkey ON public.documents USING btree (club_id, kind, name, version)
documents: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
CREATE TRIGGER documents_stay BEFORE DELETE OR UPDATE OR TRUNCATE ON public.documents FOR EACH STATEMENT EXECUTE FUNCTION stays()
export_parts.club_id text COLLATE "C" NOT NULL
export_parts.export_id text COLLATE "C" NOT NULL
export_parts.part bigint NOT NULL
export_parts.bytes bytea NOT NULL
export_parts: export_parts_club_id_export_id_fkey FOREIGN KEY (club_id, export_id) REFERENCES exports(club_id, id) ON DELETE CASCADE
export_parts: export_parts_pkey PRIMARY KEY (club_id, export_id, part)
CREATE UNIQUE INDEX export_parts_pkey ON public.export_parts USING btree (club_id, export_id, part)
export_parts: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
exports.club_id text COLLATE "C" NOT NULL
exports.id text COLLATE "C" NOT NULL
exports.player_ref text COLLATE "C"
exports.who text NOT NULL
exports.state text NOT NULL
exports.parts bigint NOT NULL
exports.at text NOT NULL
exports.expires text NOT NULL
exports.done_at text
exports: exports_club_id_fkey FOREIGN KEY (club_id) REFERENCES clubs(id)
exports: exports_club_id_player_ref_fkey FOREIGN KEY (club_id, player_ref) REFERENCES players(club_id, ref)
exports: exports_parts_check CHECK ((parts >= 0))
exports: exports_pkey PRIMARY KEY (club_id, id)
CREATE INDEX exports_by_player ON public.exports USING btree (club_id, player_ref)
CREATE UNIQUE INDEX exports_pkey ON public.exports USING btree (club_id, id)
exports: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
former_secrets.club_id text COLLATE "C" NOT NULL
former_secrets.webhook_id text COLLATE "C" NOT NULL
former_secrets.secret text COLLATE "C" NOT NULL
former_secrets.until text NOT NULL
former_secrets: former_secrets_club_id_webhook_id_fkey FOREIGN KEY (club_id, webhook_id) REFERENCES webhooks(club_id, id) ON DELETE CASCADE
former_secrets: former_secrets_pkey PRIMARY KEY (club_id, webhook_id, secret)
CREATE UNIQUE INDEX former_secrets_pkey ON public.former_secrets USING btree (club_id, webhook_id, secret)
former_secrets: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
fresh_verdicts.club_id text COLLATE "C" NOT NULL
fresh_verdicts.assessment_id text COLLATE "C" NOT NULL
fresh_verdicts.on_date text COLLATE "C" NOT NULL
fresh_verdicts.verdicts text NOT NULL
fresh_verdicts: fresh_verdicts_club_id_assessment_id_fkey FOREIGN KEY (club_id, assessment_id) REFERENCES assessments(club_id, id)
fresh_verdicts: fresh_verdicts_pkey PRIMARY KEY (club_id, assessment_id)
CREATE UNIQUE INDEX fresh_verdicts_pkey ON public.fresh_verdicts USING btree (club_id, assessment_id)
fresh_verdicts: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
grades.club_id text COLLATE "C" NOT NULL
grades.tryout_id text COLLATE "C" NOT NULL
grades.bib text COLLATE "C" NOT NULL
grades.evaluator text COLLATE "C" NOT NULL
grades.item text COLLATE "C" NOT NULL
grades.look bigint NOT NULL
grades.grade text NOT NULL
grades.who text NOT NULL
grades.at text NOT NULL
grades: grades_club_id_tryout_id_bib_fkey FOREIGN KEY (club_id, tryout_id, bib) REFERENCES roster(club_id, tryout_id, bib)
grades: grades_look_check CHECK ((look > 0))
grades: grades_pkey PRIMARY KEY (club_id, tryout_id, bib, evaluator, item, look)
CREATE UNIQUE INDEX grades_pkey ON public.grades USING btree (club_id, tryout_id, bib, evaluator, item, look)
grades: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
group_members.club_id text COLLATE "C" NOT NULL
group_members.group_name text COLLATE "C" NOT NULL
group_members.player_ref text COLLATE "C" NOT NULL
group_members.at text NOT NULL
group_members: group_members_club_id_group_name_fkey FOREIGN KEY (club_id, group_name) REFERENCES player_groups(club_id, name)
group_members: group_members_club_id_player_ref_fkey FOREIGN KEY (club_id, player_ref) REFERENCES players(club_id, ref)
group_members: group_members_pkey PRIMARY KEY (club_id, group_name, player_ref)
CREATE INDEX group_members_by_player ON public.group_members USING btree (club_id, player_ref)
CREATE UNIQUE INDEX group_members_pkey ON public.group_members USING btree (club_id, group_name, player_ref)
group_members: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
keys.club_id text COLLATE "C" NOT NULL
keys.id text COLLATE "C" NOT NULL
keys.label text NOT NULL
keys.prefix text NOT NULL
keys.hash text NOT NULL
keys.role text NOT NULL
keys.created_at text NOT NULL
keys.expires text
keys.last_used text
keys.revoked_at text
keys: keys_club_id_fkey FOREIGN KEY (club_id) REFERENCES clubs(id)
keys: keys_hash_check CHECK ((length(hash) = 64))
keys: keys_hash_key UNIQUE (hash)
keys: keys_pkey PRIMARY KEY (club_id, id)
keys: keys_role_check CHECK ((role = ANY (ARRAY['read'::text, 'submit'::text, 'edit'::text, 'admin'::text])))
CREATE UNIQUE INDEX keys_hash_key ON public.keys USING btree (hash)
CREATE UNIQUE INDEX keys_pkey ON public.keys USING btree (club_id, id)
keys: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
keys: POLICY own_secret r USING (hash = current_setting('rootcue.door'::text, true))
links.club_id text COLLATE "C" NOT NULL
links.id text COLLATE "C" NOT NULL
links.hash text NOT NULL
links.assessment_id text COLLATE "C" NOT NULL
links.who text NOT NULL
links.created_at text NOT NULL
links.expires text NOT NULL
links.revoked_at text
links: links_club_id_assessment_id_fkey FOREIGN KEY (club_id, assessment_id) REFERENCES assessments(club_id, id)
links: links_hash_check CHECK ((length(hash) = 64))
links: links_hash_key UNIQUE (hash)
links: links_pkey PRIMARY KEY (club_id, id)
CREATE INDEX links_by_assessment ON public.links USING btree (club_id, assessment_id, id)
CREATE UNIQUE INDEX links_hash_key ON public.links USING btree (hash)
CREATE UNIQUE INDEX links_pkey ON public.links USING btree (club_id, id)
links: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
links: POLICY own_secret r USING (hash = current_setting('rootcue.door'::text, true))
observations.club_id text COLLATE "C" NOT NULL
observations.id text COLLATE "C" NOT NULL
observations.player_ref text COLLATE "C" NOT NULL
observations.rubric text NOT NULL
observations.on_date text COLLATE "C" NOT NULL
observations.session text NOT NULL
observations.rater text NOT NULL
observations.tryout_id text COLLATE "C"
observations.input text COMPRESSION lz4 NOT NULL
observations.input_hash text NOT NULL
observations.idempotency_key text
observations.supersedes text
observations.superseded_by text
observations.received_at text NOT NULL
observations: observations_club_id_input_hash_key UNIQUE (club_id, input_hash)
observations: observations_club_id_player_ref_fkey FOREIGN KEY (club_id, player_ref) REFERENCES players(club_id, ref)
observations: observations_club_id_tryout_id_fkey FOREIGN KEY (club_id, tryout_id) REFERENCES tryouts(club_id, id)
observations: observations_on_date_check CHECK ((on_date = to_char(((on_date)::date)::timestamp with time zone, 'YYYY-MM-DD'::text)))
observations: observations_pkey PRIMARY KEY (club_id, id)
CREATE INDEX observations_by_date ON public.observations USING btree (club_id, on_date, id)
CREATE INDEX observations_by_player ON public.observations USING btree (club_id, player_ref, on_date, id)
CREATE INDEX observations_by_tryout ON public.observations USING btree (club_id, tryout_id, on_date, id) WHERE (tryout_id IS NOT NULL)
CREATE UNIQUE INDEX observations_club_id_input_hash_key ON public.observations USING btree (club_id, input_hash)
CREATE UNIQUE INDEX observations_pkey ON public.observations USING btree (club_id, id)
observations: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
player_groups.club_id text COLLATE "C" NOT NULL
player_groups.name text COLLATE "C" NOT NULL
player_groups.created_at text NOT NULL
player_groups.updated_at text NOT NULL
player_groups: player_groups_club_id_fkey FOREIGN KEY (club_id) REFERENCES clubs(id)
player_groups: player_groups_name_check CHECK ((name <> ''::text))
player_groups: player_groups_pkey PRIMARY KEY (club_id, name)
CREATE UNIQUE INDEX player_groups_pkey ON public.player_groups USING btree (club_id, name)
player_groups: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
players.club_id text COLLATE "C" NOT NULL
players.id text COLLATE "C" NOT NULL
players.ref text COLLATE "C" NOT NULL
players.born text
players.age bigint
players.age_on text
players.throws text
players.stature_cm double precision
players.stature_on text
players.groups text NOT NULL
players.consent_on text
players.consent_scope text NOT NULL
players.legal_hold boolean NOT NULL
players.hold_why text NOT NULL
players.created_at text NOT NULL
players.updated_at text NOT NULL
players: players_age_check CHECK ((age >= 0))
players: players_age_on_check CHECK ((age_on = to_char(((age_on)::date)::timestamp with time zone, 'YYYY-MM-DD'::text)))
players: players_born_check CHECK (((born || '-01'::text) = to_char((((born || '-01'::text))::date)::timestamp with time zone, 'YYYY-MM-DD'::text)))
players: players_club_id_fkey FOREIGN KEY (club_id) REFERENCES clubs(id)
players: players_club_id_id_key UNIQUE (club_id, id)
players: players_consent_on_check CHECK ((consent_on = to_char(((consent_on)::date)::timestamp with time zone, 'YYYY-MM-DD'::text)))
players: players_pkey PRIMARY KEY (club_id, ref)
players: players_ref_check CHECK ((ref <> ''::text))
players: players_stature_cm_check CHECK ((stature_cm > (0)::double precision))
players: players_stature_on_check CHECK ((stature_on = to_char(((stature_on)::date)::timestamp with time zone, 'YYYY-MM-DD'::text)))
players: players_throws_check CHECK ((throws = ANY (ARRAY['left'::text, 'right'::text])))
CREATE UNIQUE INDEX players_club_id_id_key ON public.players USING btree (club_id, id)
CREATE UNIQUE INDEX players_pkey ON public.players USING btree (club_id, ref)
players: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
recusals.club_id text COLLATE "C" NOT NULL
recusals.tryout_id text COLLATE "C" NOT NULL
recusals.evaluator text COLLATE "C" NOT NULL
recusals.bib text COLLATE "C" NOT NULL
recusals.why text NOT NULL
recusals.who text NOT NULL
recusals.at text NOT NULL
recusals: recusals_club_id_tryout_id_bib_fkey FOREIGN KEY (club_id, tryout_id, bib) REFERENCES roster(club_id, tryout_id, bib)
recusals: recusals_pkey PRIMARY KEY (club_id, tryout_id, bib, evaluator)
CREATE UNIQUE INDEX recusals_pkey ON public.recusals USING btree (club_id, tryout_id, bib, evaluator)
recusals: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
reviews.club_id text COLLATE "C" NOT NULL
reviews.assessment_id text COLLATE "C" NOT NULL
reviews.revision bigint NOT NULL
reviews.body text NOT NULL
reviews.released boolean NOT NULL
reviews.who text NOT NULL
reviews.at text NOT NULL
reviews: reviews_club_id_assessment_id_fkey FOREIGN KEY (club_id, assessment_id) REFERENCES assessments(club_id, id)
reviews: reviews_pkey PRIMARY KEY (club_id, assessment_id, revision)
reviews: reviews_revision_check CHECK ((revision > 0))
CREATE UNIQUE INDEX reviews_pkey ON public.reviews USING btree (club_id, assessment_id, revision)
reviews: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
roster.club_id text COLLATE "C" NOT NULL
roster.tryout_id text COLLATE "C" NOT NULL
roster.bib text COLLATE "C" NOT NULL
roster.player_ref text COLLATE "C" NOT NULL
roster.withdrawn_at text
roster.at text NOT NULL
roster: roster_bib_check CHECK ((bib <> ''::text))
roster: roster_club_id_player_ref_fkey FOREIGN KEY (club_id, player_ref) REFERENCES players(club_id, ref)
roster: roster_club_id_player_ref_tryout_id_key UNIQUE (club_id, player_ref, tryout_id)
roster: roster_club_id_tryout_id_fkey FOREIGN KEY (club_id, tryout_id) REFERENCES tryouts(club_id, id)
roster: roster_pkey PRIMARY KEY (club_id, tryout_id, bib)
CREATE UNIQUE INDEX roster_club_id_player_ref_tryout_id_key ON public.roster USING btree (club_id, player_ref, tryout_id)
CREATE UNIQUE INDEX roster_pkey ON public.roster USING btree (club_id, tryout_id, bib)
roster: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
sessions.club_id text COLLATE "C" NOT NULL
sessions.hash text NOT NULL
sessions.key_id text COLLATE "C" NOT NULL
sessions.csrf text NOT NULL
sessions.created_at text NOT NULL
sessions.expires text NOT NULL
sessions: sessions_club_id_key_id_fkey FOREIGN KEY (club_id, key_id) REFERENCES keys(club_id, id)
sessions: sessions_hash_check CHECK ((length(hash) = 64))
sessions: sessions_hash_key UNIQUE (hash)
sessions: sessions_pkey PRIMARY KEY (club_id, hash)
CREATE INDEX sessions_by_key ON public.sessions USING btree (club_id, key_id)
CREATE UNIQUE INDEX sessions_hash_key ON public.sessions USING btree (hash)
CREATE UNIQUE INDEX sessions_pkey ON public.sessions USING btree (club_id, hash)
sessions: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
sessions: POLICY own_secret r USING (hash = current_setting('rootcue.door'::text, true))
throws.club_id text COLLATE "C" NOT NULL
throws.id text COLLATE "C" NOT NULL
throws.player_ref text COLLATE "C" NOT NULL
throws.on_date text COLLATE "C" NOT NULL
throws.kind text NOT NULL
throws.count bigint
throws.count_at_last_batter bigint
throws.game text NOT NULL
throws.pain text NOT NULL
throws.note text NOT NULL
throws.place text NOT NULL
throws.source text NOT NULL
throws.assessment_id text COLLATE "C"
throws.supersedes text
throws.superseded_by text
throws.who text NOT NULL
throws.at text NOT NULL
throws: throws_club_id_assessment_id_fkey FOREIGN KEY (club_id, assessment_id) REFERENCES assessments(club_id, id)
throws: throws_club_id_player_ref_fkey FOREIGN KEY (club_id, player_ref) REFERENCES players(club_id, ref)
throws: throws_count_at_last_batter_check CHECK ((count_at_last_batter >= 0))
throws: throws_count_check CHECK ((count >= 0))
throws: throws_on_date_check CHECK ((on_date = to_char(((on_date)::date)::timestamp with time zone, 'YYYY-MM-DD'::text)))
throws: throws_pkey PRIMARY KEY (club_id, id)
CREATE INDEX throws_by_assessment ON public.throws USING btree (club_id, assessment_id) WHERE (assessment_id IS NOT NULL)
CREATE INDEX throws_by_player ON public.throws USING btree (club_id, player_ref, on_date, id)
CREATE UNIQUE INDEX throws_pkey ON public.throws USING btree (club_id, id)
throws: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
tryouts.club_id text COLLATE "C" NOT NULL
tryouts.id text COLLATE "C" NOT NULL
tryouts.name text COLLATE "C" NOT NULL
tryouts.settings text NOT NULL
tryouts.state text NOT NULL
tryouts.created_at text NOT NULL
tryouts: tryouts_club_id_fkey FOREIGN KEY (club_id) REFERENCES clubs(id)
tryouts: tryouts_pkey PRIMARY KEY (club_id, id)
tryouts: tryouts_state_check CHECK ((state = ANY (ARRAY['open'::text, 'closed'::text])))
CREATE UNIQUE INDEX tryouts_pkey ON public.tryouts USING btree (club_id, id)
tryouts: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
verdicts.club_id text COLLATE "C" NOT NULL
verdicts.fault text COLLATE "C" NOT NULL
verdicts.verdict text COLLATE "C" NOT NULL
verdicts.on_date text COLLATE "C" NOT NULL
verdicts.assessment_id text COLLATE "C" NOT NULL
verdicts: verdicts_club_id_assessment_id_fkey FOREIGN KEY (club_id, assessment_id) REFERENCES assessments(club_id, id)
verdicts: verdicts_pkey PRIMARY KEY (club_id, fault, verdict, on_date, assessment_id)
CREATE INDEX verdicts_by_assessment ON public.verdicts USING btree (club_id, assessment_id)
CREATE UNIQUE INDEX verdicts_pkey ON public.verdicts USING btree (club_id, fault, verdict, on_date, assessment_id)
verdicts: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
webhooks.club_id text COLLATE "C" NOT NULL
webhooks.id text COLLATE "C" NOT NULL
webhooks.url text NOT NULL
webhooks.secret text NOT NULL
webhooks.events text NOT NULL
webhooks.state text NOT NULL
webhooks.failures bigint NOT NULL
webhooks.created_at text NOT NULL
webhooks: webhooks_club_id_fkey FOREIGN KEY (club_id) REFERENCES clubs(id)
webhooks: webhooks_pkey PRIMARY KEY (club_id, id)
CREATE UNIQUE INDEX webhooks_pkey ON public.webhooks USING btree (club_id, id)
webhooks: POLICY own_club * USING (club_id = current_setting('rootcue.club'::text, true))
