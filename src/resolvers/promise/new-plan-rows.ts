// The search for a new plan as its row holds it: what was asked, and what was found.
import { createHash } from 'node:crypto'
import { z } from 'zod'
import type { Prisma, TransactionClient } from '../../database/client.ts'
import { localDate, type OrderLine, planShape, problemShape, type Reason } from '../../planner/documents/index.ts'
import { storedPlan } from '../plans/stored-problem.ts'

/** A row of a search. */
export type SearchRow = Prisma.NewPlanSearchGetPayload<object>

const askedShape = z.array(problemShape.shape.orderLines.element).min(1)

const id = z.string()
const reasons = planShape.shape.unserved.element.shape.reasons

/** How a line is served by the plan that was found. */
const answerShape = z.strictObject({
  orderLineId: id,
  quantity: z.int(),
  served: z.int(),
  serveOn: localDate.nullable(),
  onTime: z.boolean(),
  deliveries: z.array(
    z.strictObject({
      ...{ routeId: id, dispatchOn: localDate, fitOn: localDate, serveOn: localDate },
      sources: z.array(
        z.strictObject({
          ...{ kind: z.enum(['STOCK', 'FILLED', 'BATCH', 'NEW_BREW']), quantity: z.int(), readyOn: localDate },
          ...{ stockLotId: id.optional(), batchId: id.optional(), vesselId: id.optional(), fillerId: id.optional() },
          ...{ fillOn: localDate.optional(), brewOn: localDate.optional() },
        }),
      ),
    }),
  ),
  limits: reasons,
})

const foundShape = z.strictObject({
  kind: z.literal('FOUND'),
  /** A plan of the records of `fromRevision` and the lines that were asked for. */
  plan: storedPlan,
  /** How it serves these lines. */
  answers: z.array(answerShape),
  /** Brews, transfers and fill runs of the plan in force that it drops or moves (another amount is no move), and those that it adds. */
  changed: z.int(),
  added: z.int(),
  /** What it costs more than the plan in force did (section 8). */
  costDifference: z.number(),
  seed: z.int(),
  statistics: z.strictObject({ steps: z.int(), seconds: z.number() }),
})

const noneShape = z.strictObject({
  kind: z.literal('NONE'),
  /** What binds the lines even in a new plan. */
  reasons,
})

const resultShape = z.discriminatedUnion('kind', [foundShape, noneShape])

export type FoundPlan = z.infer<typeof foundShape>
export type SearchResult = z.infer<typeof resultShape>

/** The lines that were asked for, by ids of the question. */
export function askedOf({ asked }: Pick<SearchRow, 'asked'>): OrderLine[] {
  return askedShape.parse(asked)
}

/** What a search came to; undefined where it has not, or failed. */
export function resultOf({ result }: Pick<SearchRow, 'result'>): SearchResult | undefined {
  return result === null ? undefined : resultShape.parse(result)
}

/** Reasons of lines, each once. */
export function onceEach(reasons: readonly Reason[]): Reason[] {
  return [...new Map(reasons.map((reason) => [JSON.stringify(reason), reason])).values()]
}

/** Tells questions apart. */
export function questionKey(lines: readonly OrderLine[]): string {
  const said = lines.map((line) => [
    line.accountId,
    line.packId,
    line.quantity,
    line.serveOn,
    line.latestServeOn,
    line.priority,
    line.splittable,
  ])
  return createHash('sha256').update(JSON.stringify(said)).digest('hex')
}

/** The row of a search; null where there is none. */
export function searchRow(tx: TransactionClient, distributorId: string, id: string): Promise<SearchRow | null> {
  return tx.newPlanSearch.findUnique({ where: { distributorId_id: { distributorId, id } } })
}
