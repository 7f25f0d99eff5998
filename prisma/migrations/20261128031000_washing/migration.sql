-- L4: fillers are washed between groups of beers.
ALTER TABLE "Beer" ADD COLUMN "washGroup" TEXT;
ALTER TABLE "Beer" ADD CONSTRAINT "Beer_washGroup_check" CHECK ("washGroup" <> '');
ALTER TABLE "Filler" ADD COLUMN "washMinutes" DOUBLE PRECISION NOT NULL DEFAULT 0;
ALTER TABLE "Filler" ADD CONSTRAINT "Filler_washMinutes_check" CHECK (is_amount("washMinutes"));
