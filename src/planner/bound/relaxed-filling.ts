// The relaxation's fills: containers by filler and bucket of days, with the set-ups that they need at least, and the
// fillers' minutes (L1). What is filled and never delivered is not counted here: on the beer's side it leaves its vessel
// at no more than its cost.
import { mostMinutes } from '../documents/day-limits.ts'
import type { Filler } from '../documents/problem.ts'
import { each, type Term } from './linear-model.ts'
import type { Draws, PackPool, RelaxationContext } from './relaxation-context.ts'
import { type BeerPool, type FillingCost, fillingCosts } from './supply.ts'

/** Adds what each filler fills of each beer in each bucket; answers what that draws. */
export function addFilling(
  context: RelaxationContext,
  pools: readonly BeerPool[],
  { packs, whole }: { packs: readonly PackPool[]; whole: boolean },
): Draws {
  const { instance, buckets, rows } = context
  const lists = () => Array.from({ length: buckets.count }, (): Term[] => [])
  const draws: Draws = new Map(pools.map((pool) => [pool, { FERMENTER: lists(), BRIGHT: lists() }]))
  const minutes = new Map(instance.problem.fillers.map((filler) => [filler, lists()]))
  for (const pool of pools) {
    const own = packs.filter((pack) => pack.siteId === pool.siteId && pack.facts.beer === pool.beer)
    const setups = new Map<string, Setup>()
    for (const pack of own) addFills(context, { pool, pack, drawn: draws.get(pool)!, minutes, setups })
    for (const setup of setups.values()) addSetup(context, pool, setup, whole)
  }
  for (const [filler, used] of minutes)
    for (const [bucket, days] of buckets.split(instance.site(filler.siteId).fillDays).entries()) {
      const available = days.reduce((sum, day) => sum + mostMinutes(filler, instance.dateOf(day)), 0)
      rows.atMost(used[bucket]!, available + 1e-6 * days.length)
    }
  return draws
}

/** All set-ups of one filler for one beer and container kind in one bucket, with the fills that they serve. */
interface Setup {
  filling: FillingCost
  days: number
  used: Term[]
  fills: { column: number; share: number; most: number }[]
}

interface FillParts {
  pool: BeerPool
  pack: PackPool
  drawn: { FERMENTER: Term[][]; BRIGHT: Term[][] }
  minutes: ReadonlyMap<Filler, Term[][]>
  setups: Map<string, Setup>
}

/** Fills of one pack, by filler and bucket. */
function addFills(
  { rows, instance, buckets }: RelaxationContext,
  { pool, pack, drawn, minutes, setups }: FillParts,
): void {
  const { costs, horizon } = instance
  const { facts, ordered } = pack
  const { conditioningDays, drawFrom } = facts.pack
  const all = fillingCosts(instance, pool.siteId, facts, pool.mostDrawable)
  for (const [bucket, days] of buckets.split(instance.site(pool.siteId).fillDays).entries()) {
    const fitFrom = (days[0] ?? horizon) + conditioningDays
    const fitTo = (days.at(-1) ?? horizon) + conditioningDays
    if (fitFrom >= horizon) continue
    for (const filling of all) {
      const { filler, minutesEach, share, setupLitres } = filling
      // A container stands from the day on which it is fit: late in its bucket, to be favourable.
      const standing = costs.standing * facts.nominal * fitTo
      const column = rows.column({ upper: ordered, cost: costs.dumped * share * setupLitres - standing })
      pack.fills.push({ column, filledIn: bucket, fitFrom, fitTo })
      drawn[drawFrom][bucket]!.push([column, facts.drawn + share * setupLitres])
      const used = minutes.get(filler)![bucket]!
      used.push([column, minutesEach])
      const key = JSON.stringify([filler.id, facts.type.kind, bucket])
      const setup = setups.get(key) ?? { filling, days: days.length, used, fills: [] }
      setup.fills.push({ column, share, most: ordered })
      setups.set(key, setup)
    }
  }
}

/** L1: one set-up at least for what is filled at all, and as many as the fills together need. */
function addSetup(
  { rows, instance }: RelaxationContext,
  pool: BeerPool,
  { filling, days, used, fills }: Setup,
  whole: boolean,
): void {
  const { problem } = instance
  const vessels = problem.vessels.filter(({ siteId }) => siteId === pool.siteId).length
  const column = rows.column({
    upper: (vessels + 1) * days,
    whole: whole,
    cost: filling.setupCost,
  })
  used.push([column, filling.setupMinutes])
  rows.atMost([...fills.map(({ column: fill, share }): Term => [fill, share]), ...each([column], -1)], 0)
  for (const { column: fill, most } of fills) rows.atMost([...each([fill]), ...each([column], -most)], 0)
}
