-- When plans, comparisons, keys and webhooks were last changed: noted by the database with what callers see of them, since not each
-- such change stands in the change log. That a key was used is no change, and neither is how far a search has come.
ALTER TABLE "Plan" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "Comparison" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "ApiKey" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "Webhook" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;

CREATE FUNCTION note_changed_now() RETURNS TRIGGER LANGUAGE plpgsql AS $$
BEGIN
  NEW."updatedAt" := clock_timestamp();
  RETURN NEW;
END
$$;

CREATE TRIGGER "Plan_notes_updated_at" BEFORE UPDATE OF "status", "costTotal", "lowerBound", "failure" ON "Plan"
  FOR EACH ROW EXECUTE FUNCTION note_changed_now();
CREATE TRIGGER "Comparison_notes_updated_at" BEFORE UPDATE OF "status", "scenarios", "failure" ON "Comparison"
  FOR EACH ROW EXECUTE FUNCTION note_changed_now();
CREATE TRIGGER "ApiKey_notes_updated_at" BEFORE UPDATE OF "name", "hash", "scopes", "expiresAt", "revokedAt" ON "ApiKey"
  FOR EACH ROW EXECUTE FUNCTION note_changed_now();
CREATE TRIGGER "Webhook_notes_updated_at" BEFORE UPDATE OF "url", "kinds", "secret", "disabledAt" ON "Webhook"
  FOR EACH ROW EXECUTE FUNCTION note_changed_now();
