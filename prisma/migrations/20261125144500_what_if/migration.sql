-- What a draft was made without, and scenarios that are compared beside the plan in force. (20261125144500)

ALTER TABLE "Plan" ADD COLUMN "without" JSONB NOT NULL DEFAULT '[]';
ALTER TABLE "Plan" ADD CONSTRAINT "Plan_without_check" CHECK (jsonb_typeof("without") = 'array');

-- CreateEnum
CREATE TYPE "ComparisonStatus" AS ENUM ('SOLVING', 'READY', 'FAILED');

-- CreateTable
CREATE TABLE "Comparison" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "status" "ComparisonStatus" NOT NULL,
    "fromRevision" INTEGER NOT NULL,
    "today" DATE NOT NULL,
    "scenarios" JSONB NOT NULL,
    "progress" JSONB,
    "failure" JSONB,
    "createdAt" TIMESTAMPTZ(3) NOT NULL,
    "solvedAt" TIMESTAMPTZ(3),

    CONSTRAINT "Comparison_pkey" PRIMARY KEY ("distributorId","id"),
    CONSTRAINT "Comparison_scenarios_check" CHECK (jsonb_typeof("scenarios") = 'array' AND jsonb_array_length("scenarios") >= 1),
    CONSTRAINT "Comparison_failure_check" CHECK (("failure" IS NOT NULL) = ("status" = 'FAILED')),
    CONSTRAINT "Comparison_solvedAt_check" CHECK (("solvedAt" IS NULL) = ("status" = 'SOLVING'))
);

-- CreateIndex
CREATE INDEX "Comparison_distributorId_createdAt_idx" ON "Comparison"("distributorId", "createdAt");

-- AddForeignKey
ALTER TABLE "Comparison" ADD CONSTRAINT "Comparison_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
