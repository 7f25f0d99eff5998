-- Whether two gravities prove that a batch has fermented: what a person says of readiness does not, and primed packs need it.
ALTER TABLE "Batch" ADD COLUMN "fermentationProven" BOOLEAN NOT NULL DEFAULT false;
