// The demo: a distributor in an empty database, and the keys with which its users come in.
import { chmod, mkdir, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { demoScenario } from '../../seeds/demo.ts'
import { type Clock, todayIn } from '../clock.ts'
import type { PrismaClient } from '../database/client.ts'
import { saveSetup } from '../records/save-setup.ts'
import { type DemoUser, makeDemoKeys } from '../resolvers/access/demo-keys.ts'

/** The id of the demo distributor. */
export const DEMO_ID = 'demo'

const DEMO_ZONE = 'Europe/London'

/** Where the keys of the demo are kept. */
export function demoKeysFile(folder: string): string {
  return join(folder, 'demo-keys.json')
}

/**
 * Writes the demo distributor if the database has no distributor at all, with new keys in `folder` that only this user
 * can read. Answers whether it did. All or nothing: a start that was cut short begins anew.
 */
export async function seedDemoIfEmpty(
  { client, clock }: { client: PrismaClient; clock: Clock },
  folder: string,
): Promise<boolean> {
  return client.$transaction(async (tx) => {
    // Of several servers that start on one empty database, one seeds it.
    await tx.$executeRaw`SELECT pg_advisory_xact_lock(72707370)`
    if ((await tx.distributor.count()) > 0) return false
    await saveSetup(tx, DEMO_ID, demoScenario(todayIn(clock, DEMO_ZONE)), clock.now())
    const keys: Record<DemoUser, string> = await makeDemoKeys(tx, DEMO_ID, clock.now())
    await mkdir(folder, { recursive: true, mode: 0o700 })
    // A file that was there before would keep its mode, and its readers.
    await rm(demoKeysFile(folder), { force: true })
    await writeFile(demoKeysFile(folder), `${JSON.stringify(keys, null, 2)}\n`, { mode: 0o600, flag: 'wx' })
    return true
  })
}

/** Lets only this user read the keys of the demo, where they lie in `folder`. */
export async function guardDemoKeys(folder: string): Promise<void> {
  try {
    await chmod(demoKeysFile(folder), 0o600)
  } catch (error) {
    if (!(error instanceof Error && 'code' in error && error.code === 'ENOENT')) throw error
  }
}
