// The decisions of the plan in force that still count (F1, churn), with their days counted from today.
import type { Instance } from '../bound/instance.ts'
import type { Plan } from '../documents/problem.ts'
import { type DecisionKind, decisionKey, liveBaseline } from '../facts/decisions.ts'

/** A brew, a transfer or a run of the plan in force. */
export interface Decided<Decision> {
  decision: Decision
  day: number
  /** It must stay exactly as it is (F1). */
  held: boolean
}

export interface InForce {
  brews: Decided<Plan['brews'][number]>[]
  transfers: Decided<Plan['transfers'][number]>[]
  runs: Decided<Plan['fillRuns'][number]>[]
  /** Days before this one get no other decisions (F1). */
  frozenUntil: number
}

/** What counts of the problem's baseline; nothing where it has none. */
export function readInForce({ problem, at }: Instance): InForce {
  const { baseline } = problem
  const frozenUntil = baseline ? problem.frozenDays : 0
  const live = liveBaseline({ problem, dayOf: at })
  const decided = <Decision extends { id: string; fixed?: boolean | undefined }>(
    kind: DecisionKind,
    list: readonly Decision[],
    dayOf: (decision: Decision) => number,
  ): Decided<Decision>[] =>
    list
      .filter(({ id }) => live.has(decisionKey(kind, id)))
      .map((decision) => {
        const day = dayOf(decision)
        return { decision, day, held: decision.fixed === true || day < frozenUntil }
      })
  return {
    brews: decided('BREW', baseline?.brews ?? [], ({ brewOn }) => at(brewOn)),
    transfers: decided('TRANSFER', baseline?.transfers ?? [], ({ on }) => at(on)),
    runs: decided('FILL_RUN', baseline?.fillRuns ?? [], ({ on }) => at(on)),
    frozenUntil,
  }
}
