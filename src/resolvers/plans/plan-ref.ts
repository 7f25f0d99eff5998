// How inputs name a plan, and decisions of one: by their global ids.
import { NotFound } from '../../errors.ts'
import { encodeGlobalId, rowIdIn } from '../global-id.ts'

/** The kinds of decisions, named for their models. */
export type DecisionModel = 'PlannedBrew' | 'PlannedTransfer' | 'FillRun'

/** The id of the plan's row; undefined where the text names none. */
export function planIdIn(id: string): string | undefined {
  return rowIdIn('Plan', id)
}

/** The same. Throws `NotFound`. */
export function planIdOf(id: string): string {
  const found = planIdIn(id)
  if (found === undefined) throw new NotFound('Plan', id)
  return found
}

export interface DecisionKey {
  planId: string
  id: string
}

/** What stands in a decision's global id beside its kind: the plan's id, which has no slash, and its own. */
export function decisionId({ planId, id }: DecisionKey): string {
  return `${planId}/${id}`
}

/** The same, taken apart; undefined where it is none. */
export function decisionKeyOf(text: string): DecisionKey | undefined {
  const slash = text.indexOf('/')
  return slash < 1 ? undefined : { planId: text.slice(0, slash), id: text.slice(slash + 1) }
}

/** The key of a decision of a kind. Throws `NotFound`. */
export function decisionRef(kind: DecisionModel, globalId: string): DecisionKey {
  const key = decisionKeyOf(rowIdIn(kind, globalId) ?? '')
  if (!key) throw new NotFound(kind, globalId)
  return key
}

/** The global id of a decision. */
export function decisionGlobalId(kind: DecisionModel, key: DecisionKey): string {
  return encodeGlobalId(kind, decisionId(key))
}
