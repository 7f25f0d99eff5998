// A plan after something happened: what was carried out is planned no more, and what was to be taken from a run is taken from
// the lot that was filled. It works alike on the plan in force, on a draft, and on a plan of yesterday.
import type { OrderLine, Plan } from '../planner/documents/index.ts'
import { byUrgency } from '../planner/index.ts'
import type { Fact } from './facts/fact.ts'
import { type Exchange, exchanged as withExchange } from './first-to-expire.ts'

/** What was done, as far as plans have to know. */
export type CarriedOut =
  | { kind: 'BREW'; decisionId?: string; batchId: string }
  | { kind: 'TRANSFER'; decisionId?: string; batchId: string }
  | {
      kind: 'FILL'
      decisionId?: string
      batchId: string
      packId: string
      lotId: string
      on: string
      quantity: number
      more: boolean
      /** Whether it emptied the vessel: what was left is lost, and nothing of it is to be dumped. */
      emptied: boolean
    }
  | { kind: 'DUMP'; batchId: string; litres: number; all: boolean }
  | {
      kind: 'DISPATCH'
      orderLineId: string
      lots: readonly { lotId: string; quantity: number }[]
      /** What later deliveries were to take and left with it, with what they take instead. */
      exchanged?: readonly Exchange[]
    }
  /** A planned decision that is given up without having been carried out. */
  | { kind: 'DROP'; decision: 'BREW' | 'TRANSFER' | 'FILL_RUN'; id: string }

/**
 * The plan after what was carried out, oldest first. Deliveries that lose what they were to take keep naming it, so that
 * opening the plan places their lines anew. `lines` says who comes first where a run filled less than planned.
 */
export function planAfter(plan: Plan, done: readonly CarriedOut[], lines: readonly OrderLine[]): Plan {
  return done.reduce((before, each) => after(before, each, lines), plan)
}

function after(plan: Plan, done: CarriedOut, lines: readonly OrderLine[]): Plan {
  switch (done.kind) {
    case 'BREW':
      return brewed(plan, done)
    case 'TRANSFER':
      return { ...plan, transfers: withoutOne(plan.transfers, transferOf(plan, done)?.id) }
    case 'FILL':
      return filled(plan, done, lines)
    case 'DUMP':
      return { ...plan, dumped: dumpedLess(plan.dumped, done) }
    case 'DISPATCH':
      return dispatched(plan, done)
    case 'DROP':
      return dropped(plan, done)
  }
}

type Done<Kind extends CarriedOut['kind']> = Extract<CarriedOut, { kind: Kind }>

/** The brew is a batch; what was planned of it goes on under the batch's id. */
function brewed(plan: Plan, { decisionId, batchId }: Done<'BREW'>): Plan {
  if (decisionId === undefined) return plan
  const renamed = <Each extends { batchId: string }>(list: readonly Each[]): Each[] =>
    list.map((each) => (each.batchId === decisionId ? { ...each, batchId } : each))
  return {
    ...plan,
    brews: plan.brews.filter(({ id }) => id !== decisionId),
    transfers: renamed(plan.transfers),
    fillRuns: renamed(plan.fillRuns),
    dumped: renamed(plan.dumped),
  }
}

function transferOf(plan: Plan, { decisionId, batchId }: Done<'TRANSFER'>) {
  return plan.transfers.find(({ id }) => id === decisionId) ?? plan.transfers.find((each) => each.batchId === batchId)
}

/** The run of a fill: the one that it names, else the one of the same day, else the first of the batch and pack. */
function runOf(plan: Plan, { decisionId, batchId, packId, on }: Done<'FILL'>): Plan['fillRuns'][number] | undefined {
  const named = plan.fillRuns.find(({ id }) => id === decisionId)
  if (named) return named
  const like = plan.fillRuns.filter((run) => run.batchId === batchId && run.packId === packId)
  return like.find((run) => run.on === on) ?? like.sort((a, b) => (a.on < b.on ? -1 : 1))[0]
}

function filled(before: Plan, done: Done<'FILL'>, lines: readonly OrderLine[]): Plan {
  const run = runOf(before, done)
  const dumped = done.emptied ? before.dumped.filter(({ batchId }) => batchId !== done.batchId) : before.dumped
  const plan = { ...before, dumped }
  if (!run) return plan
  const { lotId, quantity, more } = done
  const left = run.quantity - quantity
  // A lesser quantity leaves no remainder, unless more is to be filled.
  const fillRuns =
    more && left > 0
      ? plan.fillRuns.map((each) => (each === run ? { ...run, quantity: left } : each))
      : plan.fillRuns.filter((each) => each !== run)
  return { ...plan, fillRuns, deliveries: bound(plan.deliveries, run.id, lotId, quantity, lines) }
}

/** The deliveries that were to take from a run, those that matter most first, take from its lot as long as it lasts. */
function bound(
  deliveries: Plan['deliveries'],
  runId: string,
  lotId: string,
  quantity: number,
  lines: readonly OrderLine[],
): Plan['deliveries'] {
  const wanted = ({ from }: Plan['deliveries'][number]) =>
    from.reduce((sum, source) => sum + (source.fillRunId === runId ? source.quantity : 0), 0)
  const wanting = deliveries.filter((each) => wanted(each) > 0)
  const importance = byImportance(lines, new Set(wanting.map(({ orderLineId }) => orderLineId)))
  const takers = wanting.sort(
    (a, b) => importance(a.orderLineId) - importance(b.orderLineId) || (a.dispatchOn < b.dispatchOn ? -1 : 1),
  )
  let rest = quantity
  const served = new Set<Plan['deliveries'][number]>()
  for (const taker of takers) {
    const amount = wanted(taker)
    if (amount > rest) continue
    rest -= amount
    served.add(taker)
  }
  return deliveries.map((delivery) => (served.has(delivery) ? takingFrom(delivery, runId, lotId) : delivery))
}

function takingFrom(delivery: Plan['deliveries'][number], runId: string, lotId: string): Plan['deliveries'][number] {
  const from = delivery.from.map((source) =>
    source.fillRunId === runId ? { stockLotId: lotId, quantity: source.quantity } : source,
  )
  return { ...delivery, from: joined(from) }
}

/** Each lot and run once. */
function joined(from: Plan['deliveries'][number]['from']): Plan['deliveries'][number]['from'] {
  const byKey = new Map<string, Plan['deliveries'][number]['from'][number]>()
  for (const source of from) {
    const key = `${source.stockLotId ?? ''}|${source.fillRunId ?? ''}`
    const known = byKey.get(key)
    byKey.set(key, known ? { ...known, quantity: known.quantity + source.quantity } : source)
  }
  return [...byKey.values()]
}

/** Of some lines the most urgent first; lines that are not known come last. */
function byImportance(lines: readonly OrderLine[], some: ReadonlySet<string>): (orderLineId: string) => number {
  const rank = new Map(
    lines
      .filter(({ id }) => some.has(id))
      .sort(byUrgency)
      .map(({ id }, index) => [id, index]),
  )
  return (id) => rank.get(id) ?? lines.length
}

function dumpedLess(dumped: Plan['dumped'], { batchId, litres, all }: Done<'DUMP'>): Plan['dumped'] {
  let left = litres
  return dumped.flatMap((each) => {
    if (each.batchId !== batchId) return [each]
    if (all) return []
    const less = Math.min(each.litres, left)
    left -= less
    return each.litres - less > 0.001 ? [{ ...each, litres: each.litres - less }] : []
  })
}

/** What left is delivered no more; the lots that it really took come first, whatever was planned to be taken. */
function dispatched(plan: Plan, { orderLineId, lots, exchanged = [] }: Done<'DISPATCH'>): Plan {
  const sent = new Map(lots.map(({ lotId, quantity }) => [lotId, quantity]))
  let others = 0
  const own = plan.deliveries.filter((each) => each.orderLineId === orderLineId)
  const less = (source: Plan['deliveries'][number]['from'][number], most: number) => Math.min(source.quantity, most)
  const first = own.map((delivery) => ({
    ...delivery,
    from: delivery.from.map((source) => {
      const taken = less(source, sent.get(source.stockLotId ?? '') ?? 0)
      if (source.stockLotId !== undefined) sent.set(source.stockLotId, (sent.get(source.stockLotId) ?? 0) - taken)
      return { ...source, quantity: source.quantity - taken }
    }),
  }))
  for (const quantity of sent.values()) others += Math.max(0, quantity)
  const second = first.flatMap((delivery) => {
    const from = delivery.from.flatMap((source) => {
      const taken = less(source, others)
      others -= taken
      return source.quantity > taken ? [{ ...source, quantity: source.quantity - taken }] : []
    })
    return from.length > 0 ? [{ ...delivery, from }] : []
  })
  const ofOthers = plan.deliveries.filter((each) => each.orderLineId !== orderLineId)
  return { ...plan, deliveries: exchanged.reduce(withExchange, [...ofOthers, ...second]) }
}

function dropped(plan: Plan, { decision, id }: Done<'DROP'>): Plan {
  switch (decision) {
    case 'BREW':
      return { ...plan, brews: withoutOne(plan.brews, id) }
    case 'TRANSFER':
      return { ...plan, transfers: withoutOne(plan.transfers, id) }
    case 'FILL_RUN':
      return { ...plan, fillRuns: withoutOne(plan.fillRuns, id) }
  }
}

function withoutOne<Each extends { id: string }>(list: readonly Each[], id: string | undefined): Each[] {
  return list.filter((each) => each.id !== id)
}

/** What plans have to know beyond a fact that they have lost already: containers that left besides. */
export function newlyDone(done: readonly CarriedOut[], before: Fact): CarriedOut[] {
  // What was not done is in no plan less than before.
  if (before.kind === 'NOT_DONE') return [...done]
  return done.flatMap((each) => {
    if (each.kind !== 'DISPATCH') return []
    const known = before.kind === 'DISPATCHED' ? before.data.lots : []
    const lots = each.lots.flatMap(({ lotId, quantity }) => {
      const more = quantity - (known.find((lot) => lot.lotId === lotId)?.quantity ?? 0)
      return more > 0 ? [{ lotId, quantity: more }] : []
    })
    return lots.length > 0 ? [{ ...each, lots }] : []
  })
}
