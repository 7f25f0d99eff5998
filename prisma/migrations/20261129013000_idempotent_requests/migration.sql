-- Requests that run once under a caller's key: who works on one until when, and what it has written.
ALTER TABLE "IdempotencyKey"
  ADD COLUMN "token" TEXT,
  ADD COLUMN "claimedUntil" TIMESTAMPTZ(3),
  ADD COLUMN "written" TEXT;

ALTER TABLE "ApiKey" ADD COLUMN "requiresIdempotencyKey" BOOLEAN NOT NULL DEFAULT false;
