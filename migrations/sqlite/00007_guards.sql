-- +goose Up
-- What is written once stays: the log of changes and published versions.
-- +goose StatementBegin
CREATE TRIGGER changes_stay_update BEFORE UPDATE ON changes
BEGIN SELECT RAISE(ABORT, 'the change log is only appended to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER changes_stay_delete BEFORE DELETE ON changes
BEGIN SELECT RAISE(ABORT, 'the change log is only appended to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER documents_stay_update BEFORE UPDATE ON documents
BEGIN SELECT RAISE(ABORT, 'a published version never changes'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER documents_stay_delete BEFORE DELETE ON documents
BEGIN SELECT RAISE(ABORT, 'a published version never changes'); END;
-- +goose StatementEnd
