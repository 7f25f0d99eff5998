// A lot by the code that stands on its casks, as a person reads it.
import { z } from 'zod'
import type { TransactionClient } from '../../database/client.ts'
import { issue, NotFound } from '../../errors.ts'
import { isChecked, readLotCode } from '../../floor/lot-code.ts'
import type { Actor } from '../actor.ts'
import { parseInput } from '../parse-input.ts'
import { name } from '../setup/shapes.ts'
import { References } from '../thing-ref.ts'

/** A lot code as inputs have it. */
export const lotCodeText = name

const shape = z.strictObject({ code: lotCodeText })

/** The lot's id. Throws `InvalidInput`, where its check character is wrong too, and `NotFound`. */
export async function lotByCode({ client, distributorId }: Actor, typed: unknown): Promise<string> {
  const { code } = parseInput(shape, { code: typed })
  const refs = new References(client, distributorId)
  const id = await findLotByCode(client, distributorId, refs, code, 'code')
  refs.settle()
  return id
}

/**
 * The id of the lot with a code; '' where there is none, which is noted. A code of ours may come without hyphens, in small
 * letters; one that set-up gave stands as it was given.
 */
export async function findLotByCode(
  tx: TransactionClient,
  distributorId: string,
  refs: References,
  typed: string,
  path: string,
): Promise<string> {
  const read = readLotCode(typed)
  const codes = [typed, ...(read === undefined ? [] : [read])]
  const found = await tx.stockLot.findMany({
    where: { distributorId, code: { in: codes } },
    select: { id: true, code: true },
  })
  const lot = found.find((each) => each.code === typed) ?? found[0]
  if (lot) return lot.id
  if (read !== undefined && !isChecked(read))
    refs.note(issue(path, 'WRONG_CHECK_CHARACTER', `the check character of ${read} is wrong (ISO/IEC 7064 MOD 37,36)`))
  else refs.refuse(path, new NotFound('StockLot', typed))
  return ''
}
