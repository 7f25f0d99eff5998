// What is bounded at once: a whole problem, what lies at one of its sites, or one of its beers. The bounds of the parts of a problem add
// up to one of the problem, so that each part has a model of its own, which is solved much sooner than that of all.
import type { Beer, Problem } from '../documents/problem.ts'
import { linesSharingDrops } from './demand.ts'
import { type Instance, type LineFacts, readInstance } from './instance.ts'
import { withPossibleWays } from './possible.ts'
import { readSupply, type Supply } from './supply.ts'

export interface BoundPart {
  /** With the ways that are possible alone. */
  instance: Instance
  supply: Supply
  /** Lines of an account that could share a drop on a day, at any site. */
  sharing: (line: LineFacts, dispatchOn: number) => number
  /** What the bound of the part has on top. */
  constant: number
}

/** All of a problem. */
export function wholePart(problem: Problem): BoundPart {
  const known = readInstance(problem)
  const supply = readSupply(known)
  const instance = withPossibleWays(known, supply)
  return { instance, supply, sharing: linesSharingDrops(instance), constant: 0 }
}

/**
 * The parts of a problem, by site. What sites share are lines that several of them can serve: each of these sites has the line, with
 * its price as the cost of a container that is not served there, and all but one of these are taken off again. No price between 0 and
 * what an unserved container costs makes the bounds too high (the multiplier of the demand, Lagrange): with x containers from each site
 * and u unserved ones of q, the price p adds p (q - u) - p (x of all sites) = 0 to every plan, and leaves at least 0 for each u.
 */
export function siteParts(whole: BoundPart, priceOf: (line: LineFacts) => number): BoundPart[] {
  const { instance, sharing } = whole
  let constant = 0
  const linesOf = new Map<string, LineFacts[]>([...instance.sites.keys()].map((id) => [id, []]))
  for (const line of instance.lines) {
    const siteIds = new Set(line.options.map(({ siteId }) => siteId))
    const { quantity } = line.line
    const { nominal } = line.facts
    const unserved = line.unservedRate * nominal
    const price = siteIds.size === 1 ? unserved : Math.max(0, Math.min(unserved, priceOf(line)))
    constant += siteIds.size === 0 ? unserved * quantity : (1 - siteIds.size) * price * quantity
    for (const siteId of siteIds) {
      const options = line.options.filter((option) => option.siteId === siteId)
      const unservedRate = siteIds.size === 1 ? line.unservedRate : nominal > 0 ? price / nominal : 0
      linesOf.get(siteId)!.push({ ...line, options, unservedRate })
    }
  }
  return [...linesOf].map(([siteId, lines], index) => {
    const here = atSite(instance, siteId, lines)
    return { instance: here, supply: readSupply(here), sharing, constant: index === 0 ? constant : 0 }
  })
}

/**
 * The parts of a problem, by beer: each as if there were no other. A plan without what it does of other beers is one of the part, and
 * every term of its cost is of one beer, but for drops, of which each line bears its share.
 */
export function beerParts({ instance, sharing }: BoundPart): { beer: Beer; part: BoundPart }[] {
  const { problem } = instance
  return problem.beers.map((beer) => {
    const lines = instance.lines.filter(({ facts }) => facts.beer === beer)
    const here: Instance = {
      ...instance,
      problem: {
        ...problem,
        beers: [beer],
        batches: problem.batches.filter(({ beerId }) => beerId === beer.id),
        stock: problem.stock.filter(({ packId }) => instance.pack(packId).beer === beer),
        orderLines: lines.map(({ line }) => line),
      },
      lines,
    }
    return { beer, part: { instance: here, supply: readSupply(here), sharing, constant: 0 } }
  })
}

/** A site with what belongs to it, and with these lines. */
function atSite(instance: Instance, siteId: string, lines: LineFacts[]): Instance {
  const { problem } = instance
  const isHere = (thing: { siteId: string }) => thing.siteId === siteId
  return {
    ...instance,
    problem: {
      ...problem,
      sites: problem.sites.filter(({ id }) => id === siteId),
      vessels: problem.vessels.filter(isHere),
      batches: problem.batches.filter(({ vesselId }) => isHere(instance.vessel(vesselId))),
      fillers: problem.fillers.filter(isHere),
      stock: problem.stock.filter(isHere),
      fleets: problem.fleets.filter(isHere),
      stores: problem.stores.filter(isHere),
      routes: problem.routes.filter(isHere),
      orderLines: lines.map(({ line }) => line),
    },
    sites: new Map([...instance.sites].filter(([id]) => id === siteId)),
    lines,
  }
}
