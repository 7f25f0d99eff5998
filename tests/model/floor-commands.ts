// What the floor can say, one command each: facts of every kind, also late ones, corrections, withdrawals and confirmations.
import * as fc from 'fast-check'
import { addDays } from '../../src/planner/documents/index.ts'
import { confirmFacts } from '../../src/resolvers/floor/confirm-facts.ts'
import { correctFact } from '../../src/resolvers/floor/correct-fact.ts'
import { FACT_INPUT_KEYS } from '../../src/resolvers/floor/kinds.ts'
import { recordFacts } from '../../src/resolvers/floor/record-facts.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import type { Brewery } from './brewery.ts'
import { command } from './command.ts'
import { DRAWS, type Drawn } from './fact-inputs.ts'

/** Who says it. */
const FLOOR = 'the floor'

const which = fc.nat({ max: 50 })
const numbers = fc.record({ which, quantity: fc.integer({ min: 1, max: 30 }), odd: fc.boolean() })
type Numbers = { which: number; quantity: number; odd: boolean }

async function drawn(brewery: Brewery, { which: number, quantity, odd }: Numbers): Promise<Drawn> {
  const pick: Drawn['pick'] = (list) => list[number % Math.max(1, list.length)]
  return { things: await brewery.things(), pick, quantity, odd }
}

/** A fact of a kind, of today or of a day that is over. */
export const say = fc
  .tuple(fc.constantFrom(...FACT_INPUT_KEYS), numbers, fc.constantFrom(0, 0, 0, 1, 3))
  .map(([key, given, daysAgo]) =>
    command(`${key} ${JSON.stringify(given)}${daysAgo > 0 ? `, ${daysAgo} days ago` : ''}`, async (model, brewery) => {
      const input = DRAWS[key](await drawn(brewery, given))
      if (!input) return
      const on = addDays(model.today, -daysAgo)
      const { actor } = brewery
      await brewery.try(() => recordFacts(actor, { facts: [{ [key]: { ...input, on } }] }, FLOOR))
      model.disturbed = true
    }),
  )

/** The kinds that are replaced by another of their kind. */
const REPLACED = [
  ['brewed', 'BREWED'],
  ['filled', 'FILLED'],
  ['dispatched', 'DISPATCHED'],
  ['delivered', 'DELIVERED'],
  ['returned', 'RETURNED'],
  ['dumped', 'DUMPED'],
] as const

/** A fact is replaced by another of its kind, or withdrawn. */
export const correct = fc
  .tuple(numbers, fc.constantFrom(...REPLACED), fc.boolean())
  .map(([given, [key, kind], withdraw]) =>
    command(
      `${withdraw ? 'withdraw any fact' : `replace a ${kind}`} ${JSON.stringify(given)}`,
      async (model, brewery) => {
        const draw = await drawn(brewery, given)
        const found = draw.pick(draw.things.facts.filter((each) => withdraw || each.kind === kind))
        if (!found) return
        const how = withdraw ? { withdraw } : { replace: { [key]: { ...DRAWS[key](draw), on: found.on } } }
        const input = { fact: encodeGlobalId('Fact', found.id), ...how }
        await brewery.try(() => correctFact(brewery.actor, input, FLOOR))
        model.disturbed = true
      },
    ),
  )

/** What was assumed of a day is confirmed. */
export const confirmDay = fc.integer({ min: 1, max: 4 }).map((daysAgo) =>
  command(`confirm what was assumed ${daysAgo} days ago`, async (model, brewery) => {
    const input = { on: addDays(model.today, -daysAgo), site: { id: encodeGlobalId('Site', 'yard') } }
    await brewery.try(() => confirmFacts(brewery.actor, input, FLOOR))
  }),
)
