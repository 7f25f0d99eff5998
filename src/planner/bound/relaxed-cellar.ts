// The relaxation's beer: litres in all fermenters and in all bright vessels of a site instead of batches in vessels,
// balanced at the end of each bucket of days (V4, V5, V9). Beer that is not delivered may leave at any time for the least
// that it can cost; to fill it to stock is no cheaper.
import { mostBrews } from '../documents/day-limits.ts'
import { type BeerColumns, type Brewed, drawableShare, forgiving, type Kept, mostStanding } from './beer-columns.ts'
import { each, type Term } from './linear-model.ts'
import type { Draws, RelaxationContext } from './relaxation-context.ts'
import { addBrights } from './relaxed-brights.ts'
import { addBrewhouse, addVessels } from './relaxed-vessels.ts'
import { type BeerPool, largestOverfill, type Supply, TOLERANCE_LITRES } from './supply.ts'

/** Adds the beer of all sites; `draws` is what the fills take of it. With `wholeBrews`, batches and brews are whole. */
export function addCellar(
  context: RelaxationContext,
  supply: Supply,
  draws: Draws,
  wholeBrews: boolean,
): BeerColumns[] {
  context.rows.addOffset(supply.lostForCertain)
  const columns: BeerColumns[] = []
  for (const [pool, drawn] of draws) {
    const beer: BeerColumns = {
      pool,
      brewed: addBrewed(context, pool, wholeBrews),
      kept: addKept(context, supply, pool),
      ready: { FERMENTER: [], BRIGHT: [] },
      moved: [],
    }
    addBalances(context, supply, beer, { drawn, whole: wholeBrews })
    addDeadlines(context, beer)
    columns.push(beer)
  }
  for (const siteId of context.instance.sites.keys()) {
    const here = columns.filter(({ pool }) => pool.siteId === siteId)
    addBrewhouse(context, siteId, here)
    addVessels(context, siteId, here)
    addBrights(context, siteId, { beers: here, whole: wholeBrews })
  }
  return columns
}

/** What is brewed of a beer in each bucket (V1, V2). */
function addBrewed({ rows, instance, buckets }: RelaxationContext, pool: BeerPool, wholeBrews: boolean): Brewed[] {
  const { brewable, siteId, beer } = pool
  if (!brewable) return []
  const { site, brewDays, fillDays } = instance.site(siteId)
  const { fermenters, readyAfter } = brewable
  const possible = brewDays.filter((day) => day + readyAfter >= brewable.ready)
  const turnaround = Math.min(...fermenters.map((vessel) => vessel.turnaroundDays))
  const space = fermenters.reduce((sum, vessel) => sum + vessel.capacityLitres + TOLERANCE_LITRES, 0)
  const largest = brewable.mostDrawable / (1 - beer.lossFraction)
  return buckets.split(possible).flatMap((days, bucket): Brewed[] => {
    const first = days[0]
    const last = days.at(-1)
    if (first === undefined || last === undefined || first + readyAfter >= instance.horizon) return []
    const litres = rows.column({ upper: space * days.length })
    const upper = days.reduce((sum, day) => sum + Math.max(1, mostBrews(site, instance.dateOf(day))), 0)
    const most = { upper, whole: wholeBrews }
    const batches = rows.column(most)
    const brews = rows.column({ ...most, cost: instance.costs.brew })
    rows.atMost(litresOf(litres, batches, largest), 0)
    rows.atMost([...each([batches]), ...each([brews], -1)], 0)
    if (site.brewLitres !== undefined) rows.atMost(litresOf(litres, brews, site.brewLitres + TOLERANCE_LITRES), 0)
    const least = Math.min(...fermenters.map((vessel) => vessel.minFillLitres)) * 0.999 - TOLERANCE_LITRES
    rows.atMost([...each([litres], -1), ...each([batches], Math.max(0, least))], 0)
    // A brew that is never drawn from can be left out of any plan: its vessel is taken up to its first fill day.
    const drawn = fillDays.find((day) => day >= first + readyAfter) ?? Number.POSITIVE_INFINITY
    return [
      {
        bucket,
        litres,
        batches,
        brews,
        readyFrom: first + readyAfter,
        readyTo: last + readyAfter,
        drawBy: last + readyAfter + beer.maxTankDays,
        takenTo: drawn + turnaround,
      },
    ]
  })
}

/** Litres ≤ limit × number. */
function litresOf(litres: number, number: number, limit: number): Term[] {
  return [
    [litres, 1],
    [number, -limit],
  ]
}

/** Standing batches: lost at once, at the least cost of beer that is not delivered, or kept. */
function addKept({ rows, instance }: RelaxationContext, supply: Supply, pool: BeerPool): Kept[] {
  const lost = lossOf(instance, supply, pool)
  return pool.standing.map((standing): Kept => {
    rows.addOffset(lost * standing.batch.litres)
    const litres = rows.column({ upper: standing.batch.litres, cost: -lost * forgiving(standing.batch.litres) })
    const used = rows.column({ upper: 1 })
    rows.atMost(litresOf(litres, used, standing.batch.litres), 0)
    return { litres, used, readyFrom: standing.drawFrom, drawBy: standing.emptyBy, standing }
  })
}

/** Least cost of a litre of the beer that is there and not delivered. */
function lossOf(instance: RelaxationContext['instance'], supply: Supply, { beer }: BeerPool): number {
  return supply.lossPerLitre / largestOverfill(instance, beer)
}

/**
 * Balances what may be drawn from fermenters and from bright vessels. A batch may be short by the litres that comparisons
 * forgive: what a batch gives is a little more for that.
 */
function addBalances(
  { rows, instance, buckets }: RelaxationContext,
  supply: Supply,
  beer: BeerColumns,
  { drawn, whole }: { drawn: { FERMENTER: Term[][]; BRIGHT: Term[][] }; whole: boolean },
): void {
  const { pool, brewed, kept, ready, moved } = beer
  const changes = () => Array.from({ length: buckets.count }, (): Term[] => [])
  const flows = { FERMENTER: changes(), BRIGHT: changes() }
  for (const { litres, readyFrom } of brewed)
    flows.FERMENTER[buckets.of(readyFrom)]!.push([litres, -drawableShare(instance, pool)])
  for (const { litres, readyFrom, standing } of kept)
    flows[standing.bright ? 'BRIGHT' : 'FERMENTER'][buckets.of(readyFrom)]!.push([
      litres,
      -forgiving(standing.batch.litres),
    ])
  const brights = instance.problem.vessels.filter(({ siteId, kind }) => siteId === pool.siteId && kind === 'BRIGHT')
  const space = brights.reduce((sum, vessel) => sum + vessel.capacityLitres + TOLERANCE_LITRES, 0)
  const largest = Math.max(0, ...brights.map((vessel) => vessel.capacityLitres)) + TOLERANCE_LITRES
  const least = Math.max(0, Math.min(...brights.map((vessel) => vessel.minFillLitres)) * 0.999 - TOLERANCE_LITRES)
  if (brights.length > 0 && drawn.BRIGHT.some((terms) => terms.length > 0))
    for (const [bucket, days] of buckets.split(instance.site(pool.siteId).fillDays).entries()) {
      const readyFrom = (days[0] ?? instance.horizon) + pool.beer.brightDays
      if (readyFrom >= instance.horizon) continue
      const litres = rows.column({ upper: space * days.length })
      const transfers = rows.column({ upper: brights.length * days.length, whole })
      rows.atMost(litresOf(litres, transfers, largest), 0)
      rows.atMost([...each([litres], -1), ...each([transfers], least)], 0)
      const drawBy = (days.at(-1) ?? instance.horizon) + pool.beer.brightDays + pool.beer.maxBrightDays
      moved.push({ bucket, litres, transfers, readyFrom, drawBy })
      flows.FERMENTER[bucket]!.push([litres, 1])
      flows.BRIGHT[buckets.of(readyFrom)]!.push([litres, -1])
    }
  const most = mostStanding(instance, pool)
  for (const kind of ['FERMENTER', 'BRIGHT'] as const) {
    if (flows[kind].every((terms) => terms.length === 0) && drawn[kind].every((terms) => terms.length === 0)) continue
    let before: Term[] = []
    for (let bucket = 0; bucket < buckets.count; bucket++) {
      const cost = bucket === buckets.count - 1 ? lossOf(instance, supply, pool) : 0
      const held = rows.column({ upper: most, cost })
      const lost = rows.column({ upper: most, cost: lossOf(instance, supply, pool) })
      rows.equal([[held, 1], [lost, 1], ...before, ...flows[kind][bucket]!, ...drawn[kind][bucket]!], 0)
      before = [[held, -1]]
      ready[kind].push(held)
    }
  }
}

/** V5, for all batches of a beer together: what is left at the end of a bucket is of batches that may still stand. */
function addDeadlines(
  { rows, instance, buckets }: RelaxationContext,
  { pool, brewed, kept, ready, moved }: BeerColumns,
): void {
  const share = drawableShare(instance, pool)
  const standing = kept.map((one) => ({ ...one, share: forgiving(one.standing.batch.litres) }))
  const sources = {
    FERMENTER: [...brewed.map((one) => ({ ...one, share })), ...standing.filter((one) => !one.standing.bright)],
    BRIGHT: [...moved.map((one) => ({ ...one, share: 1 })), ...standing.filter((one) => one.standing.bright)],
  }
  for (const kind of ['FERMENTER', 'BRIGHT'] as const)
    for (const [bucket, held] of ready[kind].entries()) {
      const day = buckets.last(bucket)
      const begun = sources[kind].filter(({ readyFrom }) => buckets.of(readyFrom) <= bucket)
      const left = begun.filter(({ drawBy }) => drawBy > day)
      if (left.length < begun.length)
        rows.atMost([[held, 1], ...left.map(({ litres, share: part }): Term => [litres, -part])], TOLERANCE_LITRES)
    }
}
