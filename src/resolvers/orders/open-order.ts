// The order that is to be changed or withdrawn: it must be open, and be as the caller read it.
import { Conflict } from '../../errors.ts'
import type { MayRead } from '../access/may-read.ts'
import type { ReadContext } from '../commands/command.ts'
import type { OrderRef } from '../thing-ref.ts'
import { changedSince } from './changed-since.ts'
import { type DescribedOrder, describeOrder } from './describe.ts'

/**
 * The order that an input names at `path`, as the change log describes it. `NotFound` is noted and undefined answered
 * where there is none; `Conflict` is noted where it was delivered or cancelled, or was changed after `ifRevision`:
 * how it was changed is said to callers that may read orders.
 */
export async function openOrder(
  context: ReadContext,
  ref: OrderRef,
  ifRevision: number | undefined,
  mayRead: MayRead = () => true,
  path = 'order',
): Promise<DescribedOrder | undefined> {
  const { client, refs, snapshot, dependOn } = context
  const { distributorId } = snapshot
  const id = await refs.order(ref, path)
  if (id === undefined) return undefined
  const before = await describeOrder(client, distributorId, id)
  dependOn(id, ...before.lines.map((line) => line.id))
  const { status, number } = before
  const standing = status === 'RESERVED' ? 'only reserved: confirm or release its reservation' : status.toLowerCase()
  if (status !== 'OPEN') refs.refuse(path, new Conflict('STATUS_FORBIDS', `Order ${number} is ${standing}.`))
  else refs.refuse('ifRevision', await changedSince(context, id, ifRevision, mayRead('Order') ? before : undefined))
  return before
}
