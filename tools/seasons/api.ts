// The API as the people of a season use it: each asks with a key of their own, and what is refused is kept.
import { z } from 'zod'
import type { App } from '../../src/app.ts'
import { parsePlan, parseProblem } from '../../src/planner/index.ts'
import type { DemoUser } from '../../src/resolvers/access/demo-keys.ts'

import type { Documents } from './checks.ts'

const answerShape = z.object({
  data: z.record(z.string(), z.unknown()).nullish(),
  errors: z.array(z.object({ message: z.string(), extensions: z.unknown().optional() })).optional(),
})

const refusalShape = z.object({
  __typename: z.string(),
  code: z.string().optional(),
  message: z.string().optional(),
  issues: z.array(z.object({ path: z.string(), code: z.string(), message: z.string() })).optional(),
})

/** What every mutation is asked about a refusal. */
const REFUSALS = `
  ... on Conflict { code message } ... on NotFound { code message } ... on Forbidden { code message }
  ... on InvalidInput { code message issues { path code message } } ... on Busy { code message }`

/** A mutation that was refused, in the words of the API. */
export interface Refusal {
  mutation: string
  /** The code, or those of all issues. */
  codes: string[]
  message: string
  input: unknown
}

/** A mutation's answer: what it did, or undefined where it was refused. */
export type Changed<Answer> = Answer | undefined

export class SeasonApi {
  readonly #app: App
  readonly #keys: Record<DemoUser, string>
  /** Hears of each change, once it was committed or refused. */
  onChange: (mutation: string) => Promise<void> = async () => undefined
  /** Every refusal so far. */
  readonly refusals: Refusal[] = []
  /** Changes that were committed so far. */
  changes = 0

  constructor(app: App, keys: Record<DemoUser, string>) {
    this.#app = app
    this.#keys = keys
  }

  /** Sends a query. Throws where it is answered by an error: the season asks for nothing that may fail. */
  async ask<Shape extends z.ZodType>(
    user: DemoUser,
    shape: Shape,
    query: string,
    variables: Record<string, unknown> = {},
  ): Promise<z.output<Shape>> {
    const response = await this.#app.fetch('http://season/graphql', {
      method: 'POST',
      headers: { 'content-type': 'application/json', authorization: `Bearer ${this.#keys[user]}` },
      body: JSON.stringify({ query, variables }),
    })
    const { data, errors } = answerShape.parse(await response.json())
    if (errors !== undefined || !data)
      throw new Error(`${query} ${JSON.stringify(variables)}: ${JSON.stringify(errors)}`)
    return shape.parse(data)
  }

  /** The records and the plan in force of one revision, read and parsed as anyone can. Throws where they are none of a plan. */
  async documents(): Promise<Documents> {
    const first = await this.#document('problem.json')
    const second = await this.#document(`plan.json?revision=${first.revision}`)
    const problem = parseProblem(first.json)
    if (!problem.ok) throw new Error(`problem.json is none: ${JSON.stringify(problem.faults)}`)
    const plan = parsePlan(second.json, problem.problem)
    if (!plan.ok) throw new Error(`plan.json is none: ${JSON.stringify(plan.faults)}`)
    return { problem: problem.problem, plan: plan.plan, revision: first.revision }
  }

  async #document(name: string): Promise<{ json: unknown; revision: number }> {
    const headers = { authorization: `Bearer ${this.#keys.planner}` }
    const response = await this.#app.fetch(`http://season/documents/${name}`, { headers })
    const json: unknown = await response.json()
    if (response.status !== 200) throw new Error(`${name}: ${response.status} ${JSON.stringify(json)}`)
    return { json, revision: Number(response.headers.get('x-revision')) }
  }

  /**
   * Makes a change by a mutation whose input type is named like it. `selection` is of its `payload`; `also` is what is asked of
   * refusals besides. Answers undefined where it is refused.
   */
  async change<Shape extends z.ZodType>(
    user: DemoUser,
    [mutation, payload]: readonly [mutation: string, payload: string],
    input: object,
    shape: Shape,
    selection: string,
  ): Promise<Changed<z.output<Shape>>> {
    const type = `${mutation.charAt(0).toUpperCase()}${mutation.slice(1)}Input`
    const also = payload === 'OrderPayload' && mutation !== 'cancelOrder' ? '... on NotPossible { code message }' : ''
    const text = `mutation ($input: ${type}!) { it: ${mutation}(input: $input) {
      __typename ${REFUSALS} ${also} ... on ${payload} { ${selection} } } }`
    const { it } = await this.ask(user, z.object({ it: z.looseObject({ __typename: z.string() }) }), text, { input })
    const made = it.__typename === payload
    if (made) this.changes += 1
    else this.refusals.push(refusalOf(mutation, input, it))
    await this.onChange(mutation)
    return made ? shape.parse(it) : undefined
  }
}

function refusalOf(mutation: string, input: unknown, answered: unknown): Refusal {
  const { __typename, code, message, issues } = refusalShape.parse(answered)
  const codes = issues && issues.length > 0 ? issues.map((each) => each.code) : [code ?? __typename]
  const text = issues ? issues.map(({ path, message: words }) => `${path}: ${words}`).join('; ') : (message ?? '')
  return { mutation, codes, message: text, input }
}
