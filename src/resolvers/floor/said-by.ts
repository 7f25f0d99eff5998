// Who says a fact: the name of the key, as people gave it.
import type { PrismaClient } from '../../database/client.ts'
import type { Caller } from '../access/authenticate.ts'

/** The name of the caller's key. */
export async function nameOfKey(client: PrismaClient, { distributorId, keyId: id }: Caller): Promise<string> {
  const { name } = await client.apiKey.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })
  return name
}
