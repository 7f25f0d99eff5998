// A migrated, empty embedded database, made once at install and copied where a new one is wanted: PostgreSQL's own birth
// takes five seconds of processor time, a copy less than half of one. Where there is no template, nothing is lost but time.
import { createHash, randomUUID } from 'node:crypto'
import { cp, mkdir, readdir, readFile, rename, rm, stat } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { basename, dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { PGlite } from '@electric-sql/pglite'
import { z } from 'zod'
import { embeddedPool } from './embedded-pool.ts'
import { applyMigrations, readMigrations } from './migrations.ts'

/** Where templates are kept: beside the packages that they depend on, so that an install begins without one. */
const TEMPLATES = fileURLToPath(new URL('../../node_modules/.cache/fillwright', import.meta.url))

/** The folder that the template of these migrations and this PGlite has in `templates`, whether or not it is there. */
export async function templateFolder(templates: string = TEMPLATES): Promise<string> {
  const migrations = await readMigrations()
  const identity = JSON.stringify([await pgliteVersion(), migrations.map(({ name, checksum }) => [name, checksum])])
  return join(templates, `database-${createHash('sha256').update(identity).digest('hex').slice(0, 16)}`)
}

/** Makes the template unless it is there, and answers its folder. Templates of other migrations are deleted. */
export async function makeTemplate(templates: string = TEMPLATES): Promise<string> {
  const folder = await templateFolder(templates)
  if (await isThere(folder)) return folder
  await mkdir(templates, { recursive: true })
  const draft = `${folder}.${randomUUID()}`
  try {
    await bear(draft)
    await rename(draft, folder)
  } catch (error) {
    await rm(draft, { recursive: true, force: true })
    // Another process may have put the same one in place meanwhile.
    if (!(await isThere(folder))) throw error
  }
  const others = (await readdir(templates)).filter((name) => name.startsWith('database-'))
  for (const name of others)
    if (!name.startsWith(basename(folder))) await rm(join(templates, name), { recursive: true, force: true })
  return folder
}

/**
 * Copies the template to `folder`, which does not exist yet, and answers whether there was one. The folder appears whole
 * or not at all, even where the process is killed.
 */
export async function copyTemplate(folder: string, templates: string = TEMPLATES): Promise<boolean> {
  const template = await templateFolder(templates)
  if (!(await isThere(template))) return false
  await mkdir(dirname(folder), { recursive: true })
  const draft = `${folder}.${randomUUID()}`
  try {
    await cp(template, draft, { recursive: true })
    await rename(draft, folder)
    return true
  } catch (error) {
    await rm(draft, { recursive: true, force: true })
    throw error
  }
}

/** Makes a migrated database in a new folder and closes it. */
async function bear(folder: string): Promise<void> {
  const database = await PGlite.create(folder)
  try {
    const pool = embeddedPool(database)
    await applyMigrations(pool, await readMigrations())
    await pool.query('VACUUM ANALYZE')
    await pool.end()
  } finally {
    await database.close()
  }
}

async function pgliteVersion(): Promise<string> {
  const entry = createRequire(import.meta.url).resolve('@electric-sql/pglite')
  const file = join(dirname(entry), '../package.json')
  return z.object({ version: z.string() }).parse(JSON.parse(await readFile(file, 'utf8'))).version
}

function isThere(path: string): Promise<boolean> {
  return stat(path).then(
    () => true,
    () => false,
  )
}
