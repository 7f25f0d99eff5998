// The template of the embedded database: a copy of it is what migrating a new database makes, and nothing depends on it.
import { spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { mkdir, mkdtemp, readdir, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { basename, join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { embeddedPool } from '../../src/database/embedded-pool.ts'
import { applyMigrations, readMigrations } from '../../src/database/migrations.ts'
import { copyTemplate, makeTemplate, templateFolder } from '../../src/database/template.ts'
import { openEmbeddedCopy, serverUrl } from '../support/database.ts'

const folder = await mkdtemp(join(tmpdir(), 'template-'))
afterAll(() => rm(folder, { recursive: true }))

test('where there is no template nothing is copied, and the folder does not appear', async () => {
  const target = join(folder, 'none', 'database')
  expect(await copyTemplate(target, join(folder, 'no-templates'))).toBe(false)
  expect(existsSync(target)).toBe(false)
})

test('a copy that fails leaves nothing behind that could be taken for a database', async () => {
  const templates = join(folder, 'broken')
  await mkdir(templates)
  // A file in place of the folder: it cannot be copied over the folder that is there already.
  await writeFile(await templateFolder(templates), 'no database')
  const target = join(folder, 'target')
  await mkdir(target)
  await expect(copyTemplate(target, templates)).rejects.toThrow()
  expect(await readdir(target)).toEqual([])
  expect((await readdir(folder)).filter((name) => name.startsWith('target.'))).toEqual([])
})

test('an install that cannot write a template says so and succeeds', async () => {
  const inTheWay = join(folder, 'a-file')
  await writeFile(inTheWay, '')
  const words = ['--import', 'tsx', 'src/database/make-template.ts', inTheWay]
  const { status, stderr } = spawnSync(process.execPath, words, { encoding: 'utf8' })
  expect(stderr).toContain('No template of the embedded database could be made')
  expect(status).toBe(0)
})

if (serverUrl === undefined) {
  test('a copy has all migrations, no rows and one template of these migrations beside it', async () => {
    const template = await makeTemplate()
    const database = await openEmbeddedCopy()
    const pool = embeddedPool(database)
    expect(await applyMigrations(pool, await readMigrations())).toEqual([])
    expect((await pool.query('SELECT count(*)::int AS count FROM "Distributor"')).rows).toEqual([{ count: 0 }])
    await pool.end()
    await database.close()
    expect(await templateFolder()).toBe(template)
    expect(await readdir(join(template, '..'))).toContain(basename(template))
  })
}
