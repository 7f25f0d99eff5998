import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { lockFolder } from '../../src/database/folder-lock.ts'

const folder = await mkdtemp(join(tmpdir(), 'lock-'))
afterAll(() => rm(folder, { recursive: true }))
const path = join(folder, 'database.lock')

test('a folder is locked once, and again after its release', async () => {
  const lock = await lockFolder(path)
  await expect(lockFolder(path)).rejects.toThrow(String(process.pid))
  await lock.release()
  const again = await lockFolder(path)
  await again.release()
  expect(await readdir(folder)).toEqual([])
})

test('of many who want the lock at once one gets it', async () => {
  const results = await Promise.allSettled(Array.from({ length: 20 }, () => lockFolder(path)))
  const locks = results.flatMap((result) => (result.status === 'fulfilled' ? [result.value] : []))
  expect(locks).toHaveLength(1)
  await locks[0]?.release()
  expect(await readdir(folder)).toEqual([])
})

test.each([
  ['a process that is gone', '999999999 1'],
  ['a process whose id another one has now', `${process.pid} 1`],
  ['no process that can be found', 'nonsense'],
])('the lock of %s is taken over', async (_, content) => {
  await writeFile(path, content)
  const lock = await lockFolder(path)
  expect(await readFile(path, 'utf8')).toMatch(new RegExp(`^${process.pid} `))
  await lock.release()
})

test('a release leaves a lock that is another one’s', async () => {
  const lock = await lockFolder(path)
  await writeFile(path, '1 1')
  await lock.release()
  expect(await readFile(path, 'utf8')).toBe('1 1')
  await rm(path)
})
