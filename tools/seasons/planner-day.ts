// The planner of a season: now and then a draft is made from the plan in force, and adopted where it keeps what was promised.
import { z } from 'zod'
import type { Shift } from './shift.ts'

const planShape = z.object({ plan: z.object({ id: z.string() }) })
const madeShape = z.object({ plan: z.object({ status: z.string(), failure: z.string().nullable() }) })
const MADE = 'query ($id: ID!) { plan(id: $id) { status failure } }'

/** Drafts with so many steps of search and adopts. `settled` waits until the draft is made. */
export async function draftAndAdopt(shift: Shift, steps: number, settled: () => Promise<void>): Promise<void> {
  const { api, diary } = shift
  // On a starved machine a job may lose its lease each time; the planner does what the failure says, once.
  const id = (await drafted(shift, steps, settled)) ?? (await drafted(shift, steps, settled))
  if (id === undefined) throw new Error('a draft has failed twice')
  const adopted = await api.change('planner', ['adoptPlan', 'PlanPayload'], { id }, planShape, 'plan { id }')
  diary.note(
    'planned',
    adopted ? 'a new plan is made and comes into force' : 'a new plan is made, breaks a promise, and stays a draft',
  )
}

/** The id of a draft that was made; undefined where it failed and may be drafted again. */
async function drafted({ api }: Shift, steps: number, settled: () => Promise<void>): Promise<string | undefined> {
  const input = { effort: { steps } }
  const begun = await api.change('planner', ['draftPlan', 'PlanPayload'], input, planShape, 'plan { id }')
  await settled()
  if (!begun) throw new Error('a draft was refused')
  const { id } = begun.plan
  const { plan } = await api.ask('planner', madeShape, MADE, { id })
  if (plan.status === 'DRAFT') return id
  if (plan.failure?.includes('Draft it again')) return undefined
  throw new Error(`a draft has become ${plan.status}: ${plan.failure}`)
}
