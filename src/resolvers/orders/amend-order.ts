// An order changes: lines are changed, added and withdrawn in one step, whole or not at all.
import { changedRows, type Write } from '../../database/batched-statement.ts'
import type { OrderLine } from '../../planner/documents/index.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { MayRead } from '../access/may-read.ts'
import type { Command } from '../commands/command.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { type Reading, readChange } from '../read-input.ts'
import type { DescribedOrder } from './describe.ts'
import { type Amended, type Amendment, type AmendmentPaths, amendmentShape, judged } from './judge-amendment.ts'
import { type OrderAnswer, type OrderDecided, orderAnswer, orderDecided } from './order-answer.ts'
import { type Changed, changeLines } from './replan.ts'

/**
 * Changes an order. Lines that change and lines that are new are placed anew, as `accept` asks; other lines keep their
 * place, and so does what has left of a line. `accept` may be missing where nothing is placed. A line whose day does not
 * change may be served by the day that it was promised: it has a claim to that. Throws `InvalidInput`, `NotFound`,
 * `Conflict`, and `NotPossible` with what binds; then the order stays as it was.
 */
export async function amendOrder(actor: PlanningActor, input: unknown): Promise<OrderAnswer> {
  const read = readChange(amendmentShape, input)
  const { dryRun } = read.given
  return orderAnswer(await actor.executor.execute(actor, { command: amending(read, actor.mayRead), dryRun }), dryRun)
}

/** The command of an amendment. `paths` say where the input has what the amendment says. Absent: as `amendmentShape` has it. */
export function amending(
  read: Reading<Amendment>,
  mayRead: MayRead | undefined,
  paths?: AmendmentPaths,
): Command<Amended, OrderDecided> {
  return {
    prepare: (context) => {
      context.refs.take(read)
      return judged(context, read.given, mayRead, paths)
    },
    decide: ({ snapshot }, prepared) => {
      const { before } = prepared
      const { id } = before
      const changed = placed(snapshot, read.given, prepared)
      const after = amended(read.given, prepared, changed)
      return {
        changed,
        answer: orderDecided(snapshot, changed, id, 'UPDATED'),
        writes: rowsOf(snapshot.distributorId, prepared, after),
        entries: [['ORDER_AMENDED', { type: 'Order', id }, before, after]],
      }
    },
  }
}

/** The lines and the plan in force after the amendment; undefined where no line is touched. */
function placed(snapshot: Snapshot, given: Amendment, { cancelled, altered, added }: Amended): Changed | undefined {
  if (cancelled.length + altered.length + added.length === 0) return undefined
  // What has left or was closed short is no longer the planner's.
  const yetToLeave = altered.flatMap(({ line, settled }) => {
    const quantity = line.quantity - settled
    return quantity > 0 ? [{ ...line, quantity }] : []
  })
  return changeLines(snapshot, {
    without: new Set([...cancelled, ...altered.map(({ line }) => line)].map((line) => line.id)),
    lines: [...yetToLeave, ...added],
    accept: given.accept ?? 'AS_DEMAND',
    refusal: altered.some(({ line }) => line.promisedOn !== undefined) ? 'PROMISE_WORSENS' : 'NO_PLAN_FITS',
  })
}

/** The order as it is afterwards. */
function amended(given: Amendment, { before, cancelled, altered, added }: Amended, changed?: Changed): DescribedOrder {
  const promised = new Map(changed?.lines.map((line) => [line.id, line]))
  const withdrawn = new Set(cancelled.map(({ id }) => id))
  const wanted = new Map(altered.map(({ line }) => [line.id, line]))
  const last = Math.max(0, ...before.lines.map(({ lineNumber }) => lineNumber))
  const lines = before.lines.map((line) => {
    if (withdrawn.has(line.id)) return { ...line, status: 'CANCELLED' as const, promisedOn: null }
    const altered = wanted.get(line.id)
    return altered ? { ...line, ...plannedColumns(promised.get(line.id) ?? altered), quantity: altered.quantity } : line
  })
  const more = added.map((line, index) => ({
    id: line.id,
    externalRef: given.addLines[index]?.externalRef ?? null,
    lineNumber: last + 1 + index,
    ...plannedColumns(promised.get(line.id) ?? line),
    status: 'OPEN' as const,
    dispatched: 0,
    closedShort: 0,
    onRoad: 0,
    delivered: 0,
  }))
  const { externalRef = before.externalRef, note = before.note } = given
  return { ...before, externalRef, note, lines: [...lines, ...more] }
}

/** The writes that make the rows say what the order is afterwards. */
function rowsOf(distributorId: string, { before, cancelled, altered, added }: Amended, after: DescribedOrder): Write[] {
  const { id, externalRef, note } = after
  const touched = new Set([...cancelled.map((line) => line.id), ...altered.map(({ line }) => line.id)])
  const changedLines = after.lines.filter((line) => touched.has(line.id))
  const newLines = after.lines.slice(before.lines.length)
  return [
    ...changedRows('Order', [{ distributorId, id, externalRef, note }]),
    ...changedRows(
      'OrderLine',
      changedLines.map((line) => ({ distributorId, ...line })),
    ),
    ...(added.length > 0
      ? [{ model: 'OrderLine' as const, rows: newLines.map((line) => ({ ...line, distributorId, orderId: id })) }]
      : []),
  ]
}

/** The columns of a line that the planner knows. */
function plannedColumns(line: OrderLine) {
  const { packId, quantity, serveOn } = line
  return {
    ...{ packId, quantity, serveOn },
    latestServeOn: line.latestServeOn ?? null,
    promisedOn: line.promisedOn ?? null,
    priority: line.priority,
    splittable: line.splittable,
    placedAt: line.placedAt === undefined ? null : new Date(line.placedAt),
  }
}
