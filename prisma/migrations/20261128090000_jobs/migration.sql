-- Work in the background: a row is a job, claimed with FOR UPDATE SKIP LOCKED and held by a lease. (20261128090000)

-- CreateEnum
CREATE TYPE "JobState" AS ENUM ('WAITING', 'RUNNING', 'DONE', 'FAILED', 'CANCELLED');

-- CreateTable
CREATE TABLE "Job" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "key" TEXT NOT NULL,
    "payload" JSON,
    "state" "JobState" NOT NULL DEFAULT 'WAITING',
    "attempts" INTEGER NOT NULL DEFAULT 0,
    "mostAttempts" INTEGER NOT NULL,
    "seconds" DOUBLE PRECISION NOT NULL DEFAULT 0,
    "runAfter" TIMESTAMPTZ(3) NOT NULL,
    "leaseUntil" TIMESTAMPTZ(3),
    "leaseToken" TEXT,
    "worker" TEXT,
    "createdAt" TIMESTAMPTZ(3) NOT NULL,
    "finishedAt" TIMESTAMPTZ(3),
    "failure" TEXT,

    CONSTRAINT "Job_pkey" PRIMARY KEY ("distributorId","id"),
    CONSTRAINT "Job_kind_check" CHECK (is_name("kind") AND is_name("key")),
    CONSTRAINT "Job_attempts_check" CHECK ("attempts" BETWEEN 0 AND "mostAttempts" AND "mostAttempts" >= 1),
    CONSTRAINT "Job_seconds_check" CHECK (is_amount("seconds")),
    CONSTRAINT "Job_lease_check" CHECK (("state" = 'RUNNING') = ("leaseUntil" IS NOT NULL) AND ("state" = 'RUNNING') = ("leaseToken" IS NOT NULL)),
    CONSTRAINT "Job_ended_check" CHECK (("state" IN ('WAITING', 'RUNNING')) = ("finishedAt" IS NULL) AND ("state" IN ('WAITING', 'RUNNING')) = ("payload" IS NOT NULL)),
    CONSTRAINT "Job_failure_check" CHECK (("state" = 'FAILED') = ("failure" IS NOT NULL))
);

-- CreateIndex
CREATE INDEX "Job_state_runAfter_idx" ON "Job"("state", "runAfter");

-- CreateIndex
CREATE INDEX "Job_distributorId_kind_key_idx" ON "Job"("distributorId", "kind", "key");

-- Asking twice for what waits already is asking once.
CREATE UNIQUE INDEX "Job_one_waiting" ON "Job" ("distributorId", "kind", "key") WHERE "state" = 'WAITING';

-- AddForeignKey
ALTER TABLE "Job" ADD CONSTRAINT "Job_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
