// Generated problems: valid input, the same for each seed, and each kind contains what its name says.
import { describe, expect, it } from 'vitest'
import { PROBLEM_KINDS, type ProblemKind, randomProblem } from '../../seeds/random-problem.ts'
import { smallProblem, tinyProblem } from '../../seeds/small-problem.ts'
import type { Problem } from '../../src/planner/documents/index.ts'
import { addDays, wallClock } from '../../src/planner/documents/index.ts'
import { parseProblem } from '../../src/planner/index.ts'

const SEEDS = Array.from({ length: 12 }, (_, index) => index * 31 + 5)

/** Every kind's problems for a dozen seeds. */
function problemsOf(kind: ProblemKind): Problem[] {
  return SEEDS.map((seed) => randomProblem(seed, kind))
}

/** Litres of each pack's container, by pack id. */
function litresByPack(problem: Problem): Map<string, number> {
  const types = new Map(problem.containerTypes.map((type) => [type.id, type.nominalLitres]))
  const packs = problem.beers.flatMap((beer) => beer.packs)
  return new Map(packs.map((pack) => [pack.id, types.get(pack.containerTypeId) ?? 0]))
}

/** The latest day of a batch by V5, for an existing one in a fermenter. */
function overdue(problem: Problem, batch: Problem['batches'][number]): boolean {
  const vessel = problem.vessels.find((other) => other.id === batch.vesselId)
  const site = problem.sites.find((other) => other.id === vessel?.siteId)
  const beer = problem.beers.find((other) => other.id === batch.beerId)
  if (vessel?.kind !== 'FERMENTER' || !site || !beer) return false
  const ready = wallClock(batch.readyAt, site.timeZone).day + 1
  return addDays('1970-01-01', ready + beer.maxTankDays) < problem.today
}

describe('generated problems', () => {
  it('are valid input, of every kind and many seeds', () => {
    for (let seed = 0; seed < 8 * PROBLEM_KINDS.length; seed++) {
      expect(parseProblem(randomProblem(seed)), `seed ${seed}`).toMatchObject({ ok: true })
    }
  })

  it('survive JSON unchanged, so that a file of one is the same problem', () => {
    for (const kind of PROBLEM_KINDS) {
      const problem = randomProblem(1, kind)
      expect(JSON.parse(JSON.stringify(problem))).toStrictEqual(problem)
    }
  })

  it('are the same for the same seed and others for another', () => {
    for (const kind of PROBLEM_KINDS) {
      expect(randomProblem(77, kind)).toStrictEqual(randomProblem(77, kind))
      expect(randomProblem(77, kind)).not.toStrictEqual(randomProblem(78, kind))
    }
  })

  it('go through all kinds when seeds are counted up without naming a kind', () => {
    // A round is of 28 kinds; each kind that was added later begins a round of its own, every other one.
    const firstSeed = (index: number) => (index < 28 ? index : 28 * (2 * (index - 28) + 1))
    for (const [index, kind] of PROBLEM_KINDS.entries())
      expect(randomProblem(firstSeed(index))).toStrictEqual(randomProblem(firstSeed(index), kind))
  })

  it('come in all sizes from a single line to more than sixty', () => {
    const counts = Array.from({ length: 200 }, (_, seed) => randomProblem(seed).orderLines.length)
    expect(Math.min(...counts)).toBeLessThanOrEqual(2)
    expect(Math.max(...counts)).toBeGreaterThan(60)
    expect(Math.max(...counts)).toBeLessThanOrEqual(200)
  })

  it('ask only for packs of the problem, on days within the horizon (or past ones of the kinds that say so)', () => {
    for (let seed = 0; seed < 100; seed++) {
      const problem = randomProblem(seed)
      const last = addDays(problem.today, problem.horizonDays - 1)
      for (const line of problem.orderLines) expect(line.serveOn <= last).toBe(true)
    }
  })
})

/** What must hold in every problem of a kind. */
const CONTENTS: Record<ProblemKind, (problem: Problem) => boolean> = {
  PLAIN: (problem) => problem.sites.length === 1,
  SEVERAL_SITES: (problem) => problem.sites.length > 1 && new Set(problem.routes.map((route) => route.siteId)).size > 1,
  PRIMED: (problem) => orderedPacks(problem).some((pack) => pack.primed),
  BRIGHT: (problem) =>
    orderedPacks(problem).some((pack) => pack.drawFrom === 'BRIGHT') &&
    problem.vessels.some((vessel) => vessel.kind === 'BRIGHT'),
  BINDING_FLEETS: (problem) => problem.fleets.some((fleet) => ordered(problem, fleet) > fleet.cleanNow),
  BINDING_STORES: (problem) => problem.stores.length > 0,
  OVERFULL_STORES: (problem) =>
    problem.stores.some((store) => coldStockToday(problem, store.siteId) > store.capacityLitres),
  BINDING_FILLERS: (problem) =>
    problem.fillers.every((filler) => Object.keys(filler.minutesOn).length > 0 && filler.setupLossLitres > 0),
  BINDING_ROUTES: (problem) => problem.routes.every((route) => route.capacityLitres !== undefined),
  BINDING_BREWHOUSE: (problem) => problem.sites.every((site) => site.brewLitres !== undefined),
  OVERDUE_BATCHES: (problem) => problem.batches.some((batch) => overdue(problem, batch)),
  QUARANTINED_BATCHES: (problem) => problem.batches.some((batch) => batch.quarantined),
  UNPRIMABLE_BATCHES: (problem) => problem.batches.some((batch) => batch.primable === false),
  OPENED_BATCHES: (problem) =>
    problem.batches.some((batch) => batch.openedOn !== undefined) &&
    problem.beers.every((beer) => beer.maxOpenDays !== undefined),
  CLOCK_CHANGE: (problem) =>
    problem.sites.every(({ timeZone, fillStarts, brewEnds }) => {
      const hour = (days: number) => wallClock(`${addDays(problem.today, days)}T12:00:00Z`, timeZone)
      return fillStarts === brewEnds && hour(0).minute !== hour(problem.horizonDays - 1).minute
    }),
  OVERLOAD: (problem) => problem.stores.length > 0 && problem.fleets.length > 0,
  SPLITTABLE: (problem) => problem.orderLines.some((line) => line.splittable),
  PROMISED: (problem) => problem.orderLines.some((line) => line.promisedOn !== undefined),
  PRIORITIES: (problem) => problem.orderLines.some((line) => line.priority !== undefined),
  STALE_STOCK: (problem) =>
    problem.stock.some((lot) => lot.bestBefore < problem.today) &&
    problem.stock.some((lot) => lot.bestBefore === problem.today) &&
    problem.stock.some((lot) => lot.bestBefore === addDays(problem.today, problem.horizonDays - 1)),
  VESSELS_OUT: (problem) =>
    problem.vessels.some((vessel) => vessel.outOfService !== undefined || vessel.availableFrom !== undefined),
  PAST_SERVE_DAYS: (problem) => problem.orderLines.some((line) => line.serveOn < problem.today),
  ACCOUNT_RULES: (problem) => problem.accounts.some((account) => Object.keys(account).length > 2),
  CLOSED_DAYS: (problem) => problem.sites.every((site) => site.closedOn.length > 0),
  OWN_COSTS: (problem) => problem.costs !== undefined,
  BINDING_TRANSFERS: (problem) => problem.sites.every((site) => (site.transfersPerDay ?? 9) <= 1),
  BINDING_WASHING: (problem) =>
    new Set(problem.beers.map(({ washGroup }) => washGroup)).size > 1 &&
    problem.fillers.every(({ washMinutes }) => washMinutes > 0),
  BINDING_CUT_OFFS: (problem) =>
    problem.routes.every(({ cutOff }) => cutOff !== undefined) &&
    problem.orderLines.some(({ placedAt }) => placedAt !== undefined),
  QUARANTINED_LOTS: (problem) => problem.stock.length === 0 || problem.stock.some((lot) => lot.quarantined),
  DAY_LIMITS: ({ today, sites, routes, fillers }) =>
    sites.every(({ brewsOn, transfersOn }) => brewsOn[today] !== undefined && transfersOn[today] !== undefined) &&
    routes.every(({ capacityLitresOn }) => capacityLitresOn[today] !== undefined) &&
    fillers.every(({ minutesOn }) => minutesOn[today] !== undefined),
  MIXED: () => true,
}

function orderedPacks(problem: Problem) {
  const wanted = new Set(problem.orderLines.map((line) => line.packId))
  return problem.beers.flatMap((beer) => beer.packs).filter((pack) => wanted.has(pack.id))
}

/** Containers of a fleet's type that are ordered, beside what lies filled in stock. */
function ordered(problem: Problem, fleet: Problem['fleets'][number]): number {
  const packs = new Map(problem.beers.flatMap((beer) => beer.packs.map((pack) => [pack.id, pack.containerTypeId])))
  const count = (list: readonly { packId: string; quantity: number }[]) =>
    list.reduce((sum, { packId, quantity }) => sum + (packs.get(packId) === fleet.containerTypeId ? quantity : 0), 0)
  return count(problem.orderLines) - count(problem.stock)
}

function coldStockToday(problem: Problem, siteId: string): number {
  const litres = litresByPack(problem)
  return problem.stock
    .filter((lot) => lot.siteId === siteId && lot.readyOn <= problem.today && lot.bestBefore >= problem.today)
    .reduce((sum, lot) => sum + lot.quantity * (litres.get(lot.packId) ?? 0), 0)
}

describe('kinds of generated problems', () => {
  it.each(PROBLEM_KINDS)('%s contains what its name says, for every seed', (kind) => {
    for (const [index, problem] of problemsOf(kind).entries()) {
      expect(CONTENTS[kind](problem), `seed ${SEEDS[index]}`).toBe(true)
    }
  })
})

describe('tiny and small problems', () => {
  it('keep to their sizes, are valid, and are the same for the same seed', () => {
    for (let seed = 0; seed < 100; seed++) {
      const tiny = tinyProblem(seed)
      expect(parseProblem(tiny)).toMatchObject({ ok: true })
      expect(tiny.orderLines.length).toBeGreaterThanOrEqual(2)
      expect(tiny.orderLines.length).toBeLessThanOrEqual(5)
      expect(tiny.vessels.length).toBeLessThanOrEqual(2)
      expect(tinyProblem(seed)).toStrictEqual(tiny)
      const small = smallProblem(seed)
      expect(parseProblem(small)).toMatchObject({ ok: true })
      expect(small.orderLines.length).toBeGreaterThanOrEqual(6)
      expect(small.orderLines.length).toBeLessThanOrEqual(15)
      expect(small.vessels.length).toBeGreaterThanOrEqual(2)
      expect(small.vessels.length).toBeLessThanOrEqual(4)
      expect(small.horizonDays).toBeLessThanOrEqual(28)
    }
  })
})
