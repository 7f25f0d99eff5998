// A day of the floor: it does what the plan in force has for the day, in the order of a day, and says most of it. What it does
// not say is left to be assumed.
import { addDays } from '../../src/planner/documents/index.ts'
import { groupBy } from '../../src/records/group.ts'
import { some } from './mishaps.ts'
import { type Shift, sayFacts } from './shift.ts'
import { type TodaysPlan, todaysPlan } from './todays-plan.ts'

/** The brews of the day, each said on its own. */
export async function brewDay(shift: Shift): Promise<void> {
  const { api, day, random, diary } = shift
  const { brews } = await todaysPlan(api, day)
  for (const brew of brews) {
    const what = `${brew.beer.name} in ${brew.vessel.name}`
    if (shift.strikes('unsaid')) {
      diary.note('brewed', `${what}, which is not written down`)
      continue
    }
    if (shift.strikes('brewLate')) {
      // It is assumed at midnight; on the next day someone says when it was really made.
      diary.note('went wrong', `${what} is brewed a day late`)
      continue
    }
    const isShort = shift.strikes('brewShort')
    const litres = Math.round(brew.litres * (isShort ? random.between(0.85, 0.98) : 1))
    if (isShort) diary.note('went wrong', `the brew of ${what} gives ${litres} L and not ${Math.round(brew.litres)} L`)
    diary.note('brewed', `${litres} L of ${what}`)
    await sayFacts(shift, [{ brewed: { brew: brew.id, litres } }])
  }
}

/** The fill day of each site: fills from fermenters, dumping, transfers, fills from bright vessels (T4). */
export async function fillDay(shift: Shift): Promise<void> {
  const { api, day, diary } = shift
  const plan = await todaysPlan(api, day)
  const sites = new Set([
    ...plan.fillRuns.map(({ filler }) => filler.site.id),
    ...plan.transfers.map(({ toVessel }) => toVessel.site.id),
  ])
  for (const site of sites) {
    if (shift.strikes('unsaid')) {
      diary.note('filled', 'a day at the filler that is not written down')
      continue
    }
    const runs = plan.fillRuns.filter(({ filler }) => filler.site.id === site)
    const from = (kind: 'FERMENTER' | 'BRIGHT') =>
      runs.filter(({ pack }) => pack.drawFrom === kind).flatMap((run) => fillOf(shift, run))
    const transfers = plan.transfers.filter(({ toVessel }) => toVessel.site.id === site).flatMap(transferOf)
    await sayFacts(shift, [...from('FERMENTER'), ...transfers, ...from('BRIGHT')])
  }
  await pourAway(shift, plan)
}

function fillOf(shift: Shift, run: TodaysPlan['fillRuns'][number]): object[] {
  const { random, diary } = shift
  if (!run.batch) return []
  const cutShort = run.quantity > 2 && shift.strikes('fillCutShort')
  const meant = cutShort ? run.quantity - some(random, run.quantity - 1) : run.quantity
  const spoiled = shift.strikes('spoiled') ? some(random, meant) : 0
  const quantity = meant - spoiled
  const words = `${quantity} × ${run.pack.name} from ${run.batch.code}`
  if (quantity > 0) diary.note('filled', words)
  if (spoiled > 0) diary.note('went wrong', `${spoiled} × ${run.pack.name} spoiled at the filler`)
  if (cutShort)
    diary.note('went wrong', `${run.quantity - meant} × ${run.pack.name} left for another day, the filler was late`)
  return [{ filled: { fillRun: run.id, quantity, spoiled, more: cutShort } }]
}

function transferOf({ id, batch }: TodaysPlan['transfers'][number]): object[] {
  return batch ? [{ transferred: { transfer: id, batch: { id: batch.id } } }] : []
}

/** Dumping is never assumed: it is said once it is done, most often on its day. */
async function pourAway(shift: Shift, { dumps }: TodaysPlan): Promise<void> {
  const { diary } = shift
  for (const { batch, litres } of dumps) {
    if (!batch || shift.strikes('unsaid')) continue
    const answer = await sayFacts(shift, [{ dumped: { batch: { id: batch.id }, litres } }])
    if (answer) diary.note('went wrong', `${Math.round(litres)} L of ${batch.code} poured away, as the plan has it`)
  }
}

/** The vans of the day: each is loaded as planned and said as a whole; what arrives on the day is said when it is back. */
export async function vans(shift: Shift): Promise<void> {
  const { api, day, diary, memory } = shift
  const { deliveries } = await todaysPlan(api, day)
  const loadsOf = groupBy(deliveries, ({ route }) => route.id)
  for (const routeId of new Set(deliveries.map(({ route }) => route.id))) {
    const loads = loadsOf(routeId)
    const [first] = loads
    if (!first) continue
    const accounts = [...new Set(loads.map(({ orderLine }) => orderLine.order.account.name))]
    const words = `${first.route.name} with ${sum(loads)} casks and kegs for ${listed(accounts)}`
    if (shift.strikes('unsaid')) {
      diary.note('sent', `${words}, which is not written down`)
      continue
    }
    const said = await sayFacts(
      shift,
      loads.map((load) => dispatchOf(shift, load)),
    )
    diary.note('sent', words)
    if (!said) continue
    for (const { orderLine, route } of loads)
      memory.road.set(orderLine.id, {
        on: addDays(day, route.transitDays),
        words: `${orderLine.order.account.name}: ${orderLine.pack.name}`,
      })
  }
}

/** At most three names, and how many more there are. */
function listed(names: readonly string[]): string {
  const more = names.length - 3
  const shown = more > 0 ? [...names.slice(0, 3), `${more} more`] : names
  return [shown.slice(0, -1).join(', '), ...shown.slice(-1)].filter((words) => words !== '').join(' and ')
}

function sum(list: readonly { quantity: number }[]): number {
  return list.reduce((total, { quantity }) => total + quantity, 0)
}

/** A line is loaded as planned, or with something left behind. */
function dispatchOf(shift: Shift, { orderLine, quantity, sources }: TodaysPlan['deliveries'][number]): object {
  const { random, diary } = shift
  const line = { orderLine: { id: orderLine.id } }
  const lots = sources.flatMap(({ quantity: each, stockLot }) =>
    stockLot ? [{ lot: { id: stockLot.id }, quantity: each }] : [],
  )
  const [first] = lots
  if (!first || quantity < 2 || !shift.strikes('leftBehind')) return { dispatched: line }
  const behind = Math.min(first.quantity, some(random, quantity - 1))
  diary.note(
    'went wrong',
    `${behind} × ${orderLine.pack.name} for ${orderLine.order.account.name} left behind at the dock`,
  )
  const loaded = lots.map((lot, index) => (index === 0 ? { ...lot, quantity: lot.quantity - behind } : lot))
  return { dispatched: { ...line, lots: loaded.filter((lot) => lot.quantity > 0) } }
}

/** What was on the road and is due today arrives, or is refused at the door. */
export async function arrivals(shift: Shift): Promise<void> {
  const { day, random, memory, diary } = shift
  const due = [...memory.road].filter(([, { on }]) => on <= day)
  const facts = due.map(([id, { words, isCalledBack = false }]) => {
    memory.road.delete(id)
    const orderLine = { id }
    if (isCalledBack) return { refused: { orderLine, fit: false, again: true, why: 'called back' } }
    if (!shift.strikes('refused')) return { delivered: { orderLine } }
    const [fit, again] = [random.chance(0.5), random.chance(0.7)]
    diary.note('went wrong', `${words} is refused at the door${again ? ', and to be sent again' : ''}`)
    return { refused: { orderLine, fit, again, why: 'not what was ordered' } }
  })
  await sayFacts(shift, facts)
}
