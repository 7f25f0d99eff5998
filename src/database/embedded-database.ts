// The embedded database: PGlite over a folder, for trying Fillwright out and for small installations. It survives a
// killed process, but not a loss of power (it does not sync its files): production belongs on a server.
import { existsSync } from 'node:fs'
import { chmod, mkdir } from 'node:fs/promises'
import { join } from 'node:path'
import { PGlite } from '@electric-sql/pglite'
import type pg from 'pg'
import { embeddedPool } from './embedded-pool.ts'
import { lockFolder } from './folder-lock.ts'
import { copyTemplate } from './template.ts'

export interface OpenPool {
  pool: pg.Pool
  /** Closes the pool and what is behind it. */
  close(): Promise<void>
}

/** Opens the embedded database under `folder`, making it where there is none. Throws while another process has it open. */
export async function openEmbedded(folder: string): Promise<OpenPool> {
  const files = join(folder, 'database')
  await mkdir(folder, { recursive: true })
  const lock = await lockFolder(join(folder, 'database.lock'))
  try {
    // Where no template was made at install, PGlite makes the database itself, and opening migrates it.
    if (!existsSync(files)) await copyTemplate(files)
    // The records are for this user alone, also where the folder was made for all to read.
    await mkdir(files, { recursive: true, mode: 0o700 })
    await chmod(files, 0o700)
    const database = await PGlite.create(files)
    const pool = embeddedPool(database)
    return {
      pool,
      close: async () => {
        await pool.end()
        await database.close()
        await lock.release()
      },
    }
  } catch (error) {
    await lock.release()
    throw error
  }
}
