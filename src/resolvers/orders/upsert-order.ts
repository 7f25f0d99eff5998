// An order that is there becomes what an input says of it: by an amendment of just what differs.
import { Conflict } from '../../errors.ts'
import type { MayRead } from '../access/may-read.ts'
import type { Command, Decision, ReadContext, Records } from '../commands/command.ts'
import { encodeGlobalId } from '../global-id.ts'
import type { ThingRef } from '../thing-ref.ts'
import { amending } from './amend-order.ts'
import { describeOrder } from './describe.ts'
import type { Amendment, AmendmentPaths } from './judge-amendment.ts'
import { matchLines, type Pair } from './match-lines.ts'
import type { OrderDecided } from './order-answer.ts'
import type { Accept, NewLine } from './shapes.ts'

/** A command that is prepared: what remains is to decide it. */
export type Decide<Answer> = (records: Records) => Decision<Answer>

/** Prepares a command. */
export async function prepared<Prepared, Answer>(
  command: Command<Prepared, Answer>,
  context: ReadContext,
): Promise<Decide<Answer>> {
  const known = await command.prepare(context)
  return (records) => command.decide(records, known)
}

/** An order of lines of its own, as an input says it; what is left out has its usual value, or none. */
export interface WholeOrder {
  externalRef?: string
  account?: ThingRef
  serveOn?: string
  accept?: Accept
  note?: string
  lines?: readonly NewLine[]
}

/**
 * What becomes of the order of this id that is to be as an input says. Its account never changes. Throws all that is wrong with
 * what differs, named as the input names it.
 */
export async function becoming(
  context: ReadContext,
  id: string,
  given: WholeOrder,
  mayRead: MayRead | undefined,
): Promise<Decide<OrderDecided>> {
  const { client, refs, snapshot, dependOn } = context
  const { lines = [], serveOn, account, note, accept } = given
  const order = await describeOrder(client, snapshot.distributorId, id)
  dependOn(id, ...order.lines.map((line) => line.id))
  const accountId = account && (await refs.id('Account', account, 'account', { retired: true }))
  if (accountId !== order.accountId && accountId !== '') {
    const words = `The order "${given.externalRef}" is of another account, which never changes.`
    const taken = { type: 'Order', id, differs: ['account'] }
    refs.refuse('account', new Conflict('EXTERNAL_REF_TAKEN', words, [], [], taken))
  }
  const { pairs, added, gone } = await matchLines(context, order, lines, serveOn)
  const changed = pairs.filter(({ differs }) => differs.length > 0)
  const isSameNote = order.note === (note ?? null)
  if (refs.isClean && isSameNote && changed.length + added.length + gone.length === 0) return () => leftAsItIs(id)
  const amendment: Amendment = {
    ...{ order: { id: encodeGlobalId('Order', id) }, ifRevision: undefined, dryRun: false, externalRef: undefined },
    accept,
    note: isSameNote ? undefined : (note ?? null),
    changeLines: changed.map((pair) => changeOf(pair, lines)),
    addLines: added.flatMap((index) => (lines[index] ? [{ serveOn, ...lines[index] }] : [])),
    cancelLines: gone.map((line) => ({ id: encodeGlobalId('OrderLine', line.id) })),
  }
  const paths: AmendmentPaths = {
    order: 'externalRef',
    lines: 'lines',
    changed: (index) => `lines[${changed[index]?.index}]`,
    added: (index) => `lines[${added[index]}]`,
    cancelled: () => 'lines',
  }
  return prepared(amending({ given: amendment, issues: [], unread: [] }, mayRead, paths), context)
}

/** An order that is just so already. */
export function leftAsItIs(id: string): Decision<OrderDecided> {
  return { answer: { id, did: 'UNCHANGED', outcome: [], gaveWay: [] }, writes: [], entries: [] }
}

/** Only what differs is named: what is as it was is not judged again. */
function changeOf({ index, own, said, differs }: Pair, lines: readonly NewLine[]): Amendment['changeLines'][number] {
  const { packId, quantity, serveOn, latestServeOn, priority, splittable } = Object.fromEntries(
    differs.map((field) => [field, true]),
  )
  return {
    line: { id: encodeGlobalId('OrderLine', own.id) },
    pack: packId ? lines[index]?.pack : undefined,
    quantity: quantity ? said.quantity : undefined,
    serveOn: serveOn ? said.serveOn : undefined,
    latestServeOn: latestServeOn ? said.latestServeOn : undefined,
    priority: priority ? said.priority : undefined,
    splittable: splittable ? said.splittable : undefined,
  }
}
