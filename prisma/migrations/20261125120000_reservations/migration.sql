-- Reservations, the key with which offers are signed, and a quick way to what happened to one thing.

-- AlterEnum
ALTER TYPE "OrderStatus" ADD VALUE 'RESERVED';
ALTER TYPE "OrderStatus" ADD VALUE 'LAPSED';

-- CreateEnum
CREATE TYPE "ReservationStatus" AS ENUM ('ACTIVE', 'CONFIRMED', 'RELEASED', 'EXPIRED');

-- Two random identifiers of the database's strong generator: 244 random bits in 64 hexadecimal digits.
CREATE FUNCTION new_offer_key() RETURNS TEXT LANGUAGE sql VOLATILE AS $$
  SELECT replace(gen_random_uuid()::TEXT || gen_random_uuid()::TEXT, '-', '')
$$;

-- AlterTable: the default is volatile, so that each distributor that exists gets a key of its own.
ALTER TABLE "Distributor" ADD COLUMN "offerKey" TEXT NOT NULL DEFAULT new_offer_key();

-- CreateTable
CREATE TABLE "Reservation" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "orderId" TEXT NOT NULL,
    "status" "ReservationStatus" NOT NULL DEFAULT 'ACTIVE',
    "madeAt" TIMESTAMPTZ(3) NOT NULL,
    "expiresAt" TIMESTAMPTZ(3) NOT NULL,
    "endedAt" TIMESTAMPTZ(3),
    "note" TEXT,

    CONSTRAINT "Reservation_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateIndex
CREATE INDEX "Reservation_distributorId_status_expiresAt_idx" ON "Reservation"("distributorId", "status", "expiresAt");

-- CreateIndex
CREATE UNIQUE INDEX "Reservation_distributorId_externalRef_key" ON "Reservation"("distributorId", "externalRef");

-- CreateIndex
CREATE UNIQUE INDEX "Reservation_distributorId_orderId_key" ON "Reservation"("distributorId", "orderId");

-- CreateIndex
CREATE INDEX "ChangeLogEntry_distributorId_entityId_revision_idx" ON "ChangeLogEntry"("distributorId", "entityId", "revision");

-- AddForeignKey
ALTER TABLE "Reservation" ADD CONSTRAINT "Reservation_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Reservation" ADD CONSTRAINT "Reservation_distributorId_orderId_fkey" FOREIGN KEY ("distributorId", "orderId") REFERENCES "Order"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
