import { mkdtemp, readdir, readFile, rm, stat, utimes, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, expect, test, vi } from 'vitest'
import { BETWEEN_TOUCHES, HELD_FOR, lockFolder } from '../../src/database/folder-lock.ts'
import { eventually } from '../support/eventually.ts'

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

afterEach(() => vi.useRealTimers())

/** A lock that another one holds, touched so many milliseconds ago: host, boot and namespace as of this process unless given. */
async function lockOfAnother(touched: number, changed: { host?: string; boot?: string; namespace?: string }) {
  const lock = await lockFolder(path)
  const [, , host, boot, namespace] = (await readFile(path, 'utf8')).split(' ')
  await lock.release()
  const space = { host, boot, namespace, ...changed }
  await writeFile(path, `999999999 1 ${space.host} ${space.boot} ${space.namespace}`)
  const at = new Date(Date.now() - touched)
  await utimes(path, at, at)
}

const ELSEWHERE = [
  ['host', { host: 'cellar-2' }],
  ['boot', { boot: '6f9c7a54-0000-4000-8000-000000000000' }],
  ['process namespace', { namespace: 'pid:[1]' }],
] as const

test.each(ELSEWHERE)('the lock of a process of another %s is held while it is touched', async (_, changed) => {
  await lockOfAnother(HELD_FOR - 3000, changed)
  await expect(lockFolder(path)).rejects.toThrow(/999999999/)
  await rm(path)
})

test.each(ELSEWHERE)(
  'the lock of a process of another %s that has stopped touching it is taken over',
  async (_, changed) => {
    await lockOfAnother(HELD_FOR + 1000, changed)
    const lock = await lockFolder(path)
    await lock.release()
    expect(await readdir(folder)).toEqual([])
  },
)

test('a lock of this process namespace is judged by the process, however lately it was touched', async () => {
  await lockOfAnother(0, {})
  const lock = await lockFolder(path)
  await lock.release()
})

test('a refusal names the host where the holder runs, unless it is this one', async () => {
  await lockOfAnother(0, { host: 'cellar-2' })
  await expect(lockFolder(path)).rejects.toThrow('(999999999 on cellar-2)')
  await rm(path)
  await lockOfAnother(0, { namespace: 'pid:[1]' })
  await expect(lockFolder(path)).rejects.toThrow('(999999999)')
  await rm(path)
})

test('its holder touches a lock, and one that was taken over is noticed', async () => {
  vi.useFakeTimers({ toFake: ['setInterval', 'clearInterval'] })
  const lost = vi.fn()
  const lock = await lockFolder(path, lost)
  const before = new Date(Date.now() - HELD_FOR)
  await utimes(path, before, before)
  vi.advanceTimersByTime(BETWEEN_TOUCHES)
  await eventually(async () => expect((await stat(path)).mtimeMs).toBeGreaterThan(Date.now() - BETWEEN_TOUCHES))
  expect(lost).not.toHaveBeenCalled()
  await writeFile(path, '1 1 cellar-2 - -')
  vi.advanceTimersByTime(BETWEEN_TOUCHES)
  await eventually(() => expect(lost).toHaveBeenCalledOnce())
  await lock.release()
  expect(await readFile(path, 'utf8')).toBe('1 1 cellar-2 - -')
  await rm(path)
})
