// Follows the change log from revision to revision: whatever the plan in force and the vans do not keep of what was promised must
// have been said by the log, of just that day and number, by the revision that is looked at.
import type { PrismaClient } from '../../src/database/client.ts'
import type { LocalDate } from '../../src/planner/documents/index.ts'
import { AT_RISK, PROMISE_EVENTS, promiseEventShape } from '../../src/resolvers/orders/note-risks.ts'
import { risksOf } from '../../src/resolvers/orders/risks.ts'
import type { Documents } from './checks.ts'

interface News {
  isAtRisk: boolean
  expectedOn: LocalDate | null
  containers: number | null
}

/** What an answer to facts said of promises: the lines that it puts at risk, or at risk otherwise than before. */
export interface RisksAnswered {
  /** That of the records since: one that wrote nothing has that of an answer before it. */
  revision: number
  orderLineIds: readonly string[]
}

export class PromiseWatch {
  readonly #client: PrismaClient
  readonly #distributorId: string
  /** What was said last of each line. */
  readonly #news = new Map<string, News>()
  #through = 0

  constructor(client: PrismaClient, distributorId: string) {
    this.#client = client
    this.#distributorId = distributorId
  }

  /** Takes what the first plan does not keep as said: who adopted it saw it. */
  begin({ plan, revision }: Pick<Documents, 'plan' | 'revision'>): void {
    for (const [id, { expectedOn, containers }] of risksOf(plan))
      this.#news.set(id, { isAtRisk: true, expectedOn, containers })
    this.#through = revision
  }

  /** What of promises is not as the log says. */
  async faults({ problem, plan, revision }: Pick<Documents, 'problem' | 'plan' | 'revision'>): Promise<string[]> {
    await this.#follow(revision)
    const risks = risksOf(plan)
    const faults: string[] = []
    for (const { id, promisedOn, packId } of problem.orderLines) {
      if (promisedOn === undefined) continue
      const [risk, news] = [risks.get(id), this.#news.get(id)]
      const line = `the line ${id} of ${packId}, promised for ${promisedOn},`
      if (risk && !news?.isAtRisk)
        faults.push(`${line} is served on ${risk.expectedOn ?? 'no day'}, which was not said`)
      else if (risk && (risk.expectedOn !== news?.expectedOn || risk.containers !== news.containers))
        faults.push(`${line} is served on ${risk.expectedOn}, ${news?.expectedOn} was said`)
      if (!risk && news?.isAtRisk) faults.push(`${line} is kept, and was said to be at risk last`)
    }
    return faults
  }

  /** What answers did not say of breaches that the log has of their revisions, and what they said besides. */
  async unanswered(answered: readonly RisksAnswered[]): Promise<string[]> {
    const said = new Map<number, string[]>()
    for (const { revision, orderLineIds } of answered)
      said.set(revision, [...(said.get(revision) ?? []), ...orderLineIds])
    const entries = await this.#client.changeLogEntry.findMany({
      where: { distributorId: this.#distributorId, kind: AT_RISK, revision: { in: [...said.keys()] } },
      select: { revision: true, entityId: true },
    })
    return [...said].flatMap(([revision, orderLineIds]) => {
      const logged = new Set(entries.filter((entry) => entry.revision === revision).map(({ entityId }) => entityId))
      const missing = [...logged].filter((id) => !orderLineIds.includes(id))
      const besides = orderLineIds.filter((id) => !logged.has(id))
      return [
        ...missing.map((id) => `the answers of revision ${revision} did not say that it puts ${id} at risk`),
        ...besides.map((id) => `an answer of revision ${revision} says that it puts ${id} at risk, the log does not`),
      ]
    })
  }

  async #follow(revision: number): Promise<void> {
    const entries = await this.#client.changeLogEntry.findMany({
      where: {
        ...{ distributorId: this.#distributorId, kind: { in: [...PROMISE_EVENTS] } },
        revision: { gt: this.#through, lte: revision },
      },
      orderBy: [{ revision: 'asc' }, { n: 'asc' }],
    })
    for (const { kind, entityId, after } of entries) {
      const { expectedOn, containers } = promiseEventShape.parse(after)
      this.#news.set(entityId, { isAtRisk: kind === AT_RISK, expectedOn, containers })
    }
    this.#through = revision
  }
}
