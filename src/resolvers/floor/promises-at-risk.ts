// The promises that the plan in force does not keep after facts, each with the account that must hear of it.
import type { TransactionClient } from '../../database/client.ts'
import { type Risk, risksOf } from '../orders/risks.ts'
import type { Repaired } from './repair-plan.ts'

/** A promise at risk. */
export interface PromiseAtRisk extends Risk {
  orderLineId: string
  accountId: string
  /** Whether the facts put it at risk, or at risk otherwise than before. */
  isNew: boolean
}

/** The promises at risk after a repair, those that are new first, then by promised day. */
export async function promisesAtRisk(
  client: Pick<TransactionClient, 'orderLine'>,
  distributorId: string,
  { before, after }: Pick<Repaired, 'before' | 'after'>,
): Promise<PromiseAtRisk[]> {
  const [was, is] = [risksOf(before), risksOf(after)]
  if (is.size === 0) return []
  const lines = await client.orderLine.findMany({
    where: { distributorId, id: { in: [...is.keys()] } },
    select: { id: true, order: { select: { accountId: true } } },
  })
  const found = lines.flatMap(({ id, order: { accountId } }) => {
    const risk = is.get(id)
    return risk ? [{ ...risk, orderLineId: id, accountId, isNew: !isSame(risk, was.get(id)) }] : []
  })
  return found.sort((a, b) => Number(b.isNew) - Number(a.isNew) || (keyOf(a) < keyOf(b) ? -1 : 1))
}

function keyOf({ promisedOn, orderLineId }: PromiseAtRisk): string {
  return `${promisedOn} ${orderLineId}`
}

function isSame(a: Risk, b: Risk | undefined): boolean {
  return b?.promisedOn === a.promisedOn && b.expectedOn === a.expectedOn && b.containers === a.containers
}
