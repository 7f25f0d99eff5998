// The planner of a season: now and then a draft is made from the plan in force, and adopted where it keeps what was promised.
import { z } from 'zod'
import type { Shift } from './shift.ts'

const planShape = z.object({ plan: z.object({ id: z.string() }) })
const costShape = z.object({ plan: z.object({ status: z.string(), failure: z.string().nullable() }) })

/** Drafts with so many steps of search and adopts. `settled` waits until the draft is made. */
export async function draftAndAdopt(shift: Shift, steps: number, settled: () => Promise<void>): Promise<void> {
  const { api, diary } = shift
  const input = { effort: { steps } }
  const drafted = await api.change('planner', ['draftPlan', 'PlanPayload'], input, planShape, 'plan { id }')
  await settled()
  if (!drafted) return
  const { id } = drafted.plan
  const { plan } = await api.ask('planner', costShape, 'query ($id: ID!) { plan(id: $id) { status failure } }', {
    id,
  })
  if (plan.status !== 'DRAFT') throw new Error(`a draft has become ${plan.status}: ${plan.failure}`)
  const adopted = await api.change('planner', ['adoptPlan', 'PlanPayload'], { id }, planShape, 'plan { id }')
  diary.note(
    'planned',
    adopted ? 'a new plan is made and comes into force' : 'a new plan is made, breaks a promise, and stays a draft',
  )
}
