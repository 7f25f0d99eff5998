-- Keys that end by themselves or are replaced, and when each was last used.
ALTER TABLE "ApiKey"
  ADD COLUMN "expiresAt" TIMESTAMPTZ(3),
  ADD COLUMN "lastUsedAt" TIMESTAMPTZ(3),
  ADD COLUMN "rotatedAt" TIMESTAMPTZ(3),
  ADD COLUMN "formerHash" TEXT,
  ADD COLUMN "formerUntil" TIMESTAMPTZ(3),
  ADD CONSTRAINT "ApiKey_expiresAt_check" CHECK ("expiresAt" > "createdAt"),
  ADD CONSTRAINT "ApiKey_formerHash_check" CHECK ("formerHash" ~ '^[0-9a-f]{64}$' AND "formerHash" <> "hash"),
  ADD CONSTRAINT "ApiKey_formerUntil_check" CHECK (("formerUntil" IS NULL) = ("formerHash" IS NULL));

CREATE UNIQUE INDEX "ApiKey_formerHash_key" ON "ApiKey"("formerHash");
