-- CreateEnum
CREATE TYPE "NewPlanSearchStatus" AS ENUM ('SEARCHING', 'FOUND', 'NONE', 'FAILED');

-- CreateTable
CREATE TABLE "NewPlanSearch" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "question" TEXT NOT NULL,
    "asked" JSONB NOT NULL,
    "status" "NewPlanSearchStatus" NOT NULL,
    "atRevision" INTEGER NOT NULL,
    "fromRevision" INTEGER,
    "result" JSONB,
    "failure" JSONB,
    "createdAt" TIMESTAMPTZ(3) NOT NULL,
    "solvedAt" TIMESTAMPTZ(3),

    CONSTRAINT "NewPlanSearch_pkey" PRIMARY KEY ("distributorId","id"),
    CONSTRAINT "NewPlanSearch_question_check" CHECK ("question" ~ '^[0-9a-f]{64}$'),
    CONSTRAINT "NewPlanSearch_revision_check" CHECK ("atRevision" >= 0 AND "fromRevision" >= "atRevision"),
    CONSTRAINT "NewPlanSearch_result_check" CHECK (("result" IS NOT NULL AND "fromRevision" IS NOT NULL) = ("status" IN ('FOUND', 'NONE'))),
    CONSTRAINT "NewPlanSearch_failure_check" CHECK (("failure" IS NOT NULL) = ("status" = 'FAILED')),
    CONSTRAINT "NewPlanSearch_solvedAt_check" CHECK (("solvedAt" IS NULL) = ("status" = 'SEARCHING'))
);

-- CreateIndex
CREATE UNIQUE INDEX "NewPlanSearch_distributorId_question_atRevision_key" ON "NewPlanSearch"("distributorId", "question", "atRevision");

-- CreateIndex
CREATE INDEX "NewPlanSearch_distributorId_createdAt_idx" ON "NewPlanSearch"("distributorId", "createdAt");

-- AddForeignKey
ALTER TABLE "NewPlanSearch" ADD CONSTRAINT "NewPlanSearch_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
