// One fact by itself: the same as several, with faults that are named by the fields of its own input.
import { InvalidInput } from '../../errors.ts'
import type { PlanningActor } from '../planning-actor.ts'
import type { FactInputKey } from './kinds.ts'
import { type Recorded, recordFacts } from './record-facts.ts'

/** Records one fact of a kind. Throws as `recordFacts`, with paths from the fact's own input. */
export async function recordOneFact(
  actor: PlanningActor,
  key: FactInputKey,
  input: unknown,
  saidBy: string,
): Promise<Recorded> {
  try {
    return await recordFacts(actor, { facts: [{ [key]: input }] }, saidBy)
  } catch (error) {
    throw error instanceof InvalidInput ? within(error, `facts[0].${key}`) : error
  }
}

/** The same refusal with paths below `place`. */
function within({ issues }: InvalidInput, place: string): InvalidInput {
  const [first, ...others] = issues.map((each) => ({
    ...each,
    path: each.path.startsWith(`${place}.`) ? each.path.slice(place.length + 1) : '',
  }))
  if (!first) throw new Error('a refusal of an input names what is wrong')
  return new InvalidInput([first, ...others])
}
