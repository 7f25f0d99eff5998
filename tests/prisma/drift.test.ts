// schema.prisma and the migrations say the same, and the check that says so would notice if they did not.
import { execFile } from 'node:child_process'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'

const folder = await mkdtemp(join(tmpdir(), 'drift-'))
afterAll(() => rm(folder, { recursive: true }))

/** Exit code of the comparison of the migrations with a schema: 0 where they are the same, 2 where they differ. */
function compare(schema: string): Promise<{ code: number; output: string }> {
  const words = [
    'prisma',
    'migrate',
    'diff',
    '--from-migrations',
    'prisma/migrations',
    '--to-schema',
    schema,
    '--exit-code',
  ]
  return new Promise((resolve) => {
    execFile('npx', words, (error, stdout, stderr) => {
      resolve({ code: error === null ? 0 : Number(error.code), output: stdout + stderr })
    })
  })
}

test('the migrations make exactly the schema', async () => {
  expect(await compare('prisma/schema.prisma')).toEqual({
    code: 0,
    output: expect.stringContaining('No difference detected'),
  })
})

test('a schema that goes beyond the migrations is noticed', async () => {
  const schema = await readFile('prisma/schema.prisma', 'utf8')
  const changed = join(folder, 'schema.prisma')
  await writeFile(changed, schema.replace('model Distributor {', 'model Distributor {\n  motto String?'))
  const { code, output } = await compare(changed)
  expect(code).toBe(2)
  expect(output).toContain('motto')
})
