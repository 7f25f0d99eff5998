// All that the rules are checked against, derived from a problem and a plan alone.
import type { Plan, Problem } from '../documents/problem.ts'
import { type CellarFacts, cellarFacts } from './cellar.ts'
import { type PackedFacts, packedFacts } from './packed.ts'
import { type SetupFacts, setupFacts } from './setup.ts'
import type { Violation } from './violation.ts'
import { violation } from './violation.ts'

export interface Facts extends SetupFacts, Omit<CellarFacts, 'unresolved'>, Omit<PackedFacts, 'unresolved'> {
  plan: Plan
  /** Where the plan contradicts itself or names what is not there; such parts are left out of everything else. */
  unresolved: Violation[]
}

/** Derives the facts of a plan for a parsed problem. */
export function deriveFacts(problem: Problem, plan: Plan): Facts {
  const setup = setupFacts(problem)
  const cellar = cellarFacts(setup, plan)
  const packed = packedFacts(setup, cellar, plan)
  const unresolved = [
    ...repeatedIds(plan),
    ...emptyAmounts(plan),
    ...cellar.unresolved,
    ...packed.unresolved,
    ...unknownLines(setup, plan),
  ]
  return { ...setup, ...cellar, ...packed, plan, unresolved }
}

function repeatedIds(plan: Plan): Violation[] {
  const found: Violation[] = []
  for (const [what, list] of [
    ['brew', plan.brews],
    ['transfer', plan.transfers],
    ['run', plan.fillRuns],
  ] as const) {
    const seen = new Set<string>()
    for (const { id } of list) {
      if (seen.has(id)) found.push(violation('DOCUMENT', `two ${what}s have the id "${id}"`, id))
      seen.add(id)
    }
  }
  return found
}

/** Litres of a brew, a transfer and of what is dumped are more than zero (section 1). */
function emptyAmounts(plan: Plan): Violation[] {
  const amounts = [
    ...plan.brews.map(({ id, litres }) => ({ what: `brew "${id}"`, id, litres })),
    ...plan.transfers.map(({ id, litres }) => ({ what: `transfer "${id}"`, id, litres })),
    ...plan.dumped.map(({ batchId, on, litres }) => ({ what: `what is dumped on ${on}`, id: batchId, litres })),
  ]
  return amounts
    .filter(({ litres }) => !(litres > 0 && litres < Infinity))
    .map(({ what, id, litres }) => violation('DOCUMENT', `${what} is of ${litres} L`, id))
}

function unknownLines(setup: SetupFacts, plan: Plan): Violation[] {
  const named = [plan.unserved, plan.late ?? [], plan.brokenPromises ?? []].flat()
  return named
    .filter(({ orderLineId }) => !setup.lines.has(orderLineId))
    .map(({ orderLineId }) => violation('DOCUMENT', `there is no order line "${orderLineId}"`, orderLineId))
}
