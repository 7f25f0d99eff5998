// A fact is corrected: another takes its place, or it is said that it did not happen. The correction names the original, the
// newest correction counts, and the plan in force is repaired in the same transaction.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { type Locked, withDistributorLock } from '../../database/distributor-lock.ts'
import { refusedByDatabase } from '../../database/refused-by-database.ts'
import { Conflict, issue, NotFound } from '../../errors.ts'
import { type CarriedOut, newlyDone } from '../../floor/carried-out.ts'
import { EFFECTIVE, factOf } from '../../records/fact-rows.ts'
import { globalId, rowIdIn } from '../global-id.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { type Reading, readInput } from '../read-input.ts'
import { References } from '../thing-ref.ts'
import { decisionOf } from './fact-kind.ts'
import { type Item, meaning } from './meaning.ts'
import { asItIs, oneFact, type Recorded, readFact } from './record-facts.ts'
import { planInForce, type Repaired, repairPlan } from './repair-plan.ts'
import { saidBefore } from './said-before.ts'
import { beginFacts, takeBack, writeFact, writeWithdrawal } from './write-fact.ts'

const shape = z.strictObject({
  fact: globalId,
  replace: oneFact.optional(),
  withdraw: z.boolean().default(false),
})

type Given = z.output<typeof shape>

/**
 * Replaces or withdraws a fact. Throws `InvalidInput` with everything that is wrong, `NotFound` where there is no such fact,
 * and `Conflict` for an opening, which set-up or a count corrects.
 */
export async function correctFact(actor: PlanningActor, input: unknown, saidBy: string): Promise<Recorded> {
  const reading = readInput(shape, input)
  const { replace } = reading.given
  const item = replace && readFact(replace, 'replace')
  const { result, revision, epoch } = await withDistributorLock(actor, actor.distributorId, (locked) =>
    correctLocked(actor, locked, reading, item, saidBy),
  ).catch((error: unknown) => {
    throw refusedByDatabase(error) ?? error
  })
  const { id, snapshot, repaired } = result
  if (snapshot) actor.snapshots.keep({ ...snapshot, revision, epoch })
  return { revision, ids: [id], ...(repaired ? { repaired } : {}) }
}

interface Corrected {
  id: string
  snapshot?: Repaired['snapshot']
  repaired?: Recorded['repaired']
}

async function correctLocked(
  actor: PlanningActor,
  locked: Locked,
  reading: Reading<Given>,
  item: Item | undefined,
  saidBy: string,
): Promise<Corrected> {
  const { tx, log, revision } = locked
  const { distributorId, clock } = actor
  const refs = new References(tx, distributorId)
  refs.take(reading)
  if (item) refs.take(item.reading)
  if ((item !== undefined) === reading.given.withdraw)
    refs.note(issue('withdraw', 'NOT_BOTH', 'say what happened instead (`replace`), or that it did not (`withdraw`)'))
  const original = await findOriginal(locked, distributorId, refs, reading.given.fact)
  const inForce = await planInForce(actor, locked)
  const known = await correctedBefore(locked, distributorId, refs, original.id, item)
  if (known !== undefined) {
    refs.settle()
    return { id: known, ...(inForce ? { repaired: asItIs(inForce.plan) } : {}) }
  }
  const writing = await beginFacts(tx, distributorId, revision + 1, clock.now())
  const id = randomUUID()
  // What is said is understood as if the original had not been: where something is wrong, nothing of this is kept.
  const chain = { OR: [{ id: original.id }, { correctsId: original.id }] }
  const counting = await tx.fact.findMany({ where: { distributorId, ...EFFECTIVE, ...chain } })
  const gone = counting.map((row) => row.id)
  const before = counting[0] ? factOf(counting[0]) : factOf(original)
  await takeBack(writing, gone, id)
  const done: CarriedOut[] = []
  const said = { id, saidBy, assumed: false, corrects: original.id, contentHash: item?.contentHash ?? '' }
  if (item) {
    const saying = { tx, distributorId, clock, refs, plan: inForce?.plan, inPlaceOf: { corrects: before } }
    const spoken = await meaning(saying, item)
    refs.settle()
    if (!spoken) throw new Error('a fact without faults has a meaning')
    const { on, reference } = item.reading.given
    const at = item.reading.given.at ?? (on === undefined ? before.at : undefined)
    const decision = spoken.meant.decision ?? decisionOf(original)
    const meant = { ...spoken.meant, ...(decision ? { decision } : {}) }
    await writeFact(writing, meant, { ...said, at, reference, on: spoken.on })
    done.push(...newlyDone(meant.carriedOut, before))
  } else {
    refs.settle()
    await writeWithdrawal(writing, original, said)
  }
  await tx.fact.updateMany({ where: { distributorId, ...chain, NOT: { id } }, data: { replacedById: id } })
  const kind = item ? 'FACT_CORRECTED' : 'FACT_WITHDRAWN'
  log(kind, { type: 'Fact', id }, { id: original.id, kind: original.kind }, { corrects: original.id })
  const repaired = await repairPlan(actor, locked, inForce, { ...writing.change, done }, { kind, type: 'Fact', id })
  return { id, ...(repaired ? { snapshot: repaired.snapshot, repaired } : {}) }
}

/**
 * The correction that was recorded with the same reference, or the withdrawal that counts already: said again, it is answered
 * again. A conflict is noted where the reference was used for something else.
 */
async function correctedBefore(
  { tx }: Locked,
  distributorId: string,
  refs: References,
  correctsId: string,
  item: Item | undefined,
): Promise<string | undefined> {
  if (!item) {
    const where = { distributorId, correctsId, withdraws: true, replacedById: null }
    return (await tx.fact.findFirst({ where, select: { id: true } }))?.id
  }
  const { path, contentHash, reading } = item
  const said = { path, contentHash, reference: reading.given.reference, correctsId }
  return saidBefore({ tx, distributorId }, refs, said)
}

/** The fact that is to be corrected. Throws where there is none, or where it is a correction or an opening. */
async function findOriginal({ tx }: Locked, distributorId: string, refs: References, text: string) {
  const id = rowIdIn('Fact', text)
  const row = id === undefined ? null : await tx.fact.findUnique({ where: { distributorId_id: { distributorId, id } } })
  if (!row) return refs.giveUp('fact', new NotFound('Fact', text))
  if (row.correctsId !== null) {
    const first = await tx.fact.findUnique({ where: { distributorId_id: { distributorId, id: row.correctsId } } })
    refs.note(issue('fact', 'NO_CORRECTION_OF_CORRECTION', `it corrects the fact number ${first?.number ?? 0}`))
    refs.settle()
  }
  if (row.kind.endsWith('_OPENING')) {
    const message = 'It is what set-up entered: record a count of the batch, lot or fleet.'
    return refs.giveUp('fact', new Conflict('STATUS_FORBIDS', message))
  }
  return row
}
