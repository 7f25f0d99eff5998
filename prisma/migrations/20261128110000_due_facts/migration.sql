-- Work of a day that is over and that a site does not assume is due until it is said: plans take it as done.
ALTER TABLE "Fact" ADD COLUMN "due" BOOLEAN NOT NULL DEFAULT false;
ALTER TABLE "Fact" ADD CONSTRAINT "Fact_due_check" CHECK (NOT "due" OR "assumed");

-- A batch that was drawn to the end holds nothing.
ALTER TABLE "Batch" DROP CONSTRAINT "Batch_litres_check";
ALTER TABLE "Batch" ADD CONSTRAINT "Batch_litres_check" CHECK (is_amount("litres"));

-- What will not be sent any more counts beside what has left: OrderLine_closedShort_check says both.
ALTER TABLE "OrderLine" DROP CONSTRAINT "OrderLine_dispatched_check";
