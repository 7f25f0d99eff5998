// The strength of a batch, by what was said of the brews that are in it.
import type { Fact, FactOf } from './fact.ts'

/** The fact by which a batch began. */
export type Beginning = FactOf<'BREWED'> | FactOf<'PART_TRANSFERRED'> | FactOf<'BLENDED'>

/** The id of the batch that a fact begins; undefined where it begins none. */
export function begins(fact: Fact): string | undefined {
  if (fact.kind === 'BREWED') return fact.data.batchId
  return fact.kind === 'PART_TRANSFERRED' || fact.kind === 'BLENDED' ? fact.data.newBatchId : undefined
}

/** The batches that a batch was made of; none where it was brewed. */
export function parentsOf(beginning: Beginning): string[] {
  if (beginning.kind === 'BREWED') return []
  return beginning.kind === 'BLENDED' ? beginning.data.parents.map(({ batchId }) => batchId) : [beginning.data.batchId]
}

/**
 * Alcohol by volume, per cent: of a brew as it was said; of a part that of the whole; of a blend the mean of its parts, weighted
 * with their volumes (what two beers lose in volume when they mix is less than a measure shows, from memory). Undefined where it is not known of a part.
 */
export function strengthOf(batchId: string, beginnings: ReadonlyMap<string, Beginning>): number | undefined {
  const beginning = beginnings.get(batchId)
  if (!beginning) return undefined
  if (beginning.kind === 'BREWED') return beginning.data.abv
  if (beginning.kind === 'PART_TRANSFERRED') return strengthOf(beginning.data.batchId, beginnings)
  const { parents } = beginning.data
  const parts = parents.flatMap(({ batchId: id, ml }) => {
    const abv = strengthOf(id, beginnings)
    return abv === undefined ? [] : [{ ml, abv }]
  })
  if (parts.length < parents.length) return undefined
  const litres = parts.reduce((sum, { ml }) => sum + ml, 0)
  return parts.reduce((sum, { ml, abv }) => sum + ml * abv, 0) / litres
}
