-- Webhooks. What they have to be told is written with the change itself, by the database.
CREATE TYPE "DeliveryState" AS ENUM ('WAITING', 'DELIVERED', 'DEAD');

CREATE TABLE "Webhook" (
  "distributorId" TEXT NOT NULL,
  "id" TEXT NOT NULL,
  "url" TEXT NOT NULL,
  "kinds" TEXT[] NOT NULL,
  "reads" TEXT[] NOT NULL,
  "secret" TEXT NOT NULL,
  "formerSecret" TEXT,
  "formerUntil" TIMESTAMPTZ(3),
  "createdAt" TIMESTAMPTZ(3) NOT NULL,
  "disabledAt" TIMESTAMPTZ(3),
  "sendingUntil" TIMESTAMPTZ(3),
  CONSTRAINT "Webhook_pkey" PRIMARY KEY ("distributorId", "id"),
  CONSTRAINT "Webhook_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE,
  CONSTRAINT "Webhook_kinds_check" CHECK (cardinality("kinds") > 0),
  CONSTRAINT "Webhook_url_check" CHECK ("url" ~ '^https?://'),
  CONSTRAINT "Webhook_secret_check" CHECK ("secret" LIKE 'whsec_%' AND "formerSecret" LIKE 'whsec_%'),
  CONSTRAINT "Webhook_former_check" CHECK (("formerSecret" IS NULL) = ("formerUntil" IS NULL))
);

CREATE TABLE "WebhookDelivery" (
  "distributorId" TEXT NOT NULL,
  "id" TEXT NOT NULL,
  "webhookId" TEXT NOT NULL,
  "n" BIGSERIAL NOT NULL,
  "kind" TEXT NOT NULL,
  "revision" INTEGER NOT NULL,
  "number" INTEGER NOT NULL,
  "entityType" TEXT NOT NULL,
  "entityId" TEXT NOT NULL,
  "externalRef" TEXT,
  "isNew" BOOLEAN NOT NULL,
  "at" TIMESTAMPTZ(3) NOT NULL,
  "state" "DeliveryState" NOT NULL DEFAULT 'WAITING',
  "attempts" INTEGER NOT NULL DEFAULT 0,
  "nextAt" TIMESTAMPTZ(3) NOT NULL,
  "lastStatus" INTEGER,
  "lastFailure" TEXT,
  "endedAt" TIMESTAMPTZ(3),
  CONSTRAINT "WebhookDelivery_pkey" PRIMARY KEY ("distributorId", "id"),
  CONSTRAINT "WebhookDelivery_distributorId_webhookId_fkey" FOREIGN KEY ("distributorId", "webhookId")
    REFERENCES "Webhook"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE,
  CONSTRAINT "WebhookDelivery_attempts_check" CHECK ("attempts" >= 0),
  CONSTRAINT "WebhookDelivery_ended_check" CHECK (("state" = 'WAITING') = ("endedAt" IS NULL))
);
CREATE INDEX "WebhookDelivery_distributorId_webhookId_state_entityId_n_idx"
  ON "WebhookDelivery"("distributorId", "webhookId", "state", "entityId", "n");
CREATE INDEX "WebhookDelivery_distributorId_webhookId_entityId_n_idx"
  ON "WebhookDelivery"("distributorId", "webhookId", "entityId", "n");

-- The job that sends what waits for a webhook: at once, also where one waits for a later attempt.
CREATE FUNCTION ask_to_send(distributor TEXT, webhook TEXT, instant TIMESTAMPTZ) RETURNS VOID LANGUAGE sql AS $$
  INSERT INTO "Job" AS j ("distributorId", "id", "kind", "key", "payload", "mostAttempts", "runAfter", "createdAt")
  VALUES (distributor, gen_random_uuid()::text, 'SEND_WEBHOOKS', webhook, '{}'::json, 1000, instant, instant)
  ON CONFLICT ("distributorId", "kind", "key") WHERE "state" = 'WAITING'
    DO UPDATE SET "runAfter" = LEAST(j."runAfter", EXCLUDED."runAfter")
$$;

CREATE FUNCTION note_deliveries() RETURNS TRIGGER LANGUAGE plpgsql AS $$
DECLARE
  webhook TEXT;
BEGIN
  FOR webhook IN
    SELECT "id" FROM "Webhook" WHERE "distributorId" = NEW."distributorId" AND "disabledAt" IS NULL
      AND NEW."kind" = ANY("kinds") AND NEW."entityType" = ANY("reads") ORDER BY "id"
  LOOP
    INSERT INTO "WebhookDelivery" ("distributorId", "id", "webhookId", "kind", "revision", "number", "entityType", "entityId",
        "externalRef", "isNew", "at", "nextAt")
      VALUES (NEW."distributorId", gen_random_uuid()::text, webhook, NEW."kind", NEW."revision", NEW."n", NEW."entityType",
        NEW."entityId", coalesce(NEW."after" ->> 'externalRef', NEW."before" ->> 'externalRef'), NEW."before" IS NULL,
        NEW."at", NEW."at");
    PERFORM ask_to_send(NEW."distributorId", webhook, NEW."at");
  END LOOP;
  RETURN NULL;
END
$$;

CREATE TRIGGER "ChangeLogEntry_notes_deliveries" AFTER INSERT ON "ChangeLogEntry"
  FOR EACH ROW EXECUTE FUNCTION note_deliveries();
