-- Who sends for a webhook is said by the lease of its job: no two jobs of a kind run under one key. A lease of the webhook's own
-- outlived the process that was killed, and kept the next one from its turn.
ALTER TABLE "Webhook" DROP COLUMN "sendingUntil";

-- What is due is read in the order of its instants, however much waits.
CREATE INDEX "WebhookDelivery_distributorId_webhookId_state_nextAt_n_idx"
  ON "WebhookDelivery"("distributorId", "webhookId", "state", "nextAt", "n");

-- A job that fails asks for another one after a pause: a thousand attempts were made one right after the other.
CREATE OR REPLACE FUNCTION ask_to_send(distributor TEXT, webhook TEXT, instant TIMESTAMPTZ) RETURNS VOID LANGUAGE sql AS $$
  INSERT INTO "Job" AS j ("distributorId", "id", "kind", "key", "payload", "mostAttempts", "runAfter", "createdAt")
  VALUES (distributor, gen_random_uuid()::text, 'SEND_WEBHOOKS', webhook, '{}'::json, 2, instant, instant)
  ON CONFLICT ("distributorId", "kind", "key") WHERE "state" = 'WAITING'
    DO UPDATE SET "runAfter" = LEAST(j."runAfter", EXCLUDED."runAfter")
$$;
