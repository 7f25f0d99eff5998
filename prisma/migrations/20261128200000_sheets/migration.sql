-- What the sheets for the people at the tanks need of the set-up, all of it optional.
CREATE TYPE "FiningsPer" AS ENUM ('HECTOLITRE', 'US_BEER_BARREL', 'IMPERIAL_BARREL');
CREATE TYPE "SugarKind" AS ENUM ('SUCROSE', 'GLUCOSE', 'GLUCOSE_MONOHYDRATE');

ALTER TABLE "ContainerType"
  ADD COLUMN "tareKg" DOUBLE PRECISION,
  ADD COLUMN "pressureBar" DOUBLE PRECISION,
  ADD CONSTRAINT "ContainerType_tareKg_check" CHECK ("tareKg" > 0 AND "tareKg" <= 1000),
  ADD CONSTRAINT "ContainerType_pressureBar_check" CHECK ("pressureBar" > 0 AND "pressureBar" <= 20);

ALTER TABLE "Beer"
  ADD COLUMN "gravityEqualWithin" DOUBLE PRECISION NOT NULL DEFAULT 0.0005,
  ADD COLUMN "originalGravity" DOUBLE PRECISION,
  ADD COLUMN "abv" DOUBLE PRECISION,
  ADD COLUMN "allergens" TEXT[] NOT NULL DEFAULT ARRAY[]::TEXT[],
  ADD CONSTRAINT "Beer_gravityEqualWithin_check" CHECK ("gravityEqualWithin" BETWEEN 0 AND 0.01),
  ADD CONSTRAINT "Beer_originalGravity_check" CHECK ("originalGravity" BETWEEN 0.98 AND 1.2 AND ("finalGravity" IS NULL OR "originalGravity" >= "finalGravity")),
  ADD CONSTRAINT "Beer_abv_check" CHECK ("abv" BETWEEN 0 AND 25),
  ADD CONSTRAINT "Beer_allergens_check" CHECK (array_position("allergens", '') IS NULL);

ALTER TABLE "Pack"
  ADD COLUMN "finingsProduct" TEXT,
  ADD COLUMN "finingsMl" DOUBLE PRECISION,
  ADD COLUMN "finingsPer" "FiningsPer",
  ADD COLUMN "sugar" "SugarKind",
  ADD COLUMN "targetCarbonation" DOUBLE PRECISION,
  ADD COLUMN "leastCarbonation" DOUBLE PRECISION,
  ADD COLUMN "mostCarbonation" DOUBLE PRECISION,
  ADD COLUMN "hopsPerLitre" DOUBLE PRECISION,
  ADD COLUMN "purged" BOOLEAN,
  ADD CONSTRAINT "Pack_finings_check" CHECK (num_nulls("finingsProduct", "finingsMl", "finingsPer") IN (0, 3) AND "finingsProduct" <> '' AND "finingsMl" > 0 AND "finingsMl" <= 5000),
  ADD CONSTRAINT "Pack_carbonation_check" CHECK ("targetCarbonation" BETWEEN 0 AND 6 AND "leastCarbonation" BETWEEN 0 AND 6 AND "mostCarbonation" BETWEEN 0 AND 6
    AND "leastCarbonation" <= "mostCarbonation" AND "targetCarbonation" >= "leastCarbonation" AND "targetCarbonation" <= "mostCarbonation"),
  ADD CONSTRAINT "Pack_hopsPerLitre_check" CHECK ("hopsPerLitre" > 0 AND "hopsPerLitre" <= 50);

ALTER TABLE "Account"
  ADD COLUMN "notes" TEXT,
  ADD CONSTRAINT "Account_notes_check" CHECK ("notes" <> '');

ALTER TABLE "AccountRoute"
  ADD COLUMN "position" INTEGER,
  ADD CONSTRAINT "AccountRoute_position_check" CHECK ("position" >= 1);

-- Hours in which an account takes deliveries.
CREATE TABLE "AccountWindow" (
  "distributorId" TEXT NOT NULL,
  "accountId" TEXT NOT NULL,
  "n" INTEGER NOT NULL,
  "weekdays" INTEGER[],
  "from" TEXT NOT NULL,
  "to" TEXT NOT NULL,
  CONSTRAINT "AccountWindow_pkey" PRIMARY KEY ("distributorId", "accountId", "n"),
  CONSTRAINT "AccountWindow_n_check" CHECK ("n" >= 1),
  CONSTRAINT "AccountWindow_times_check" CHECK (is_time_of_day("from") AND is_time_of_day("to") AND "from" < "to"),
  CONSTRAINT "AccountWindow_weekdays_check" CHECK ("weekdays" IS NOT NULL AND are_weekdays("weekdays"))
);
ALTER TABLE "AccountWindow" ADD CONSTRAINT "AccountWindow_distributorId_accountId_fkey"
  FOREIGN KEY ("distributorId", "accountId") REFERENCES "Account" ("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;
