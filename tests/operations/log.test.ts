import { expect, test } from 'vitest'
import { type LogLevel, makeLog } from '../../src/operations/log.ts'
import { inRequest, newScope } from '../../src/operations/request-scope.ts'

const at = new Date('2027-03-12T08:15:04.250Z')

function logging(level: LogLevel, pretty = false) {
  const lines: string[] = []
  const write = (line: string) => lines.push(line)
  return { lines, log: makeLog({ level, pretty, write, now: () => at }) }
}

test('each line is one JSON object with its time, level and message, whatever stands in it', () => {
  const { log, lines } = logging('debug')
  log.info('request', { path: '/graphql\n{"x":1}', status: 200, litres: 5n })
  log.error('fault', { error: new Error('broken', { cause: new RangeError('too far') }) })
  expect(lines.map((line) => line.split('\n').length)).toEqual([2, 2])
  const [first, second] = lines.map((line) => JSON.parse(line))
  const head = { time: '2027-03-12T08:15:04.250Z', level: 'info', message: 'request' }
  expect(first).toEqual({ ...head, path: '/graphql\n{"x":1}', status: 200, litres: '5' })
  const cause = { name: 'RangeError', message: 'too far' }
  expect(second).toMatchObject({ level: 'error', error: { name: 'Error', message: 'broken', cause } })
  expect(second.error.stack).toContain('log.test.ts')
})

test('an error that is its own cause is written too', () => {
  const { log, lines } = logging('info')
  const error = new Error('round')
  error.cause = error
  log.error('fault', { error })
  expect(JSON.parse(lines[0] ?? '')).toMatchObject({ error: { message: 'round' } })
})

test('what weighs less than the level is left out, and at "off" everything is', () => {
  const written = (level: LogLevel) => {
    const { log, lines } = logging(level)
    log.debug('debug')
    log.info('info')
    log.warn('warn')
    log.error('error')
    return lines.map((line) => JSON.parse(line).message)
  }
  expect(written('debug')).toEqual(['debug', 'info', 'warn', 'error'])
  expect(written('warn')).toEqual(['warn', 'error'])
  expect(written('off')).toEqual([])
})

test('for a person a line is short, and an error stands below it', () => {
  const { log, lines } = logging('info', true)
  log.info('request', { status: 200, path: '/graphql', fields: ['beers'], none: undefined })
  log.warn('database', { error: new Error('it went away') })
  expect(lines[0]).toBe('08:15:04 request status=200 path=/graphql fields=["beers"]\n')
  expect(lines[1]).toMatch(/^08:15:04 warn database\nError: it went away\n {4}at /)
})

test('what is logged within a request carries its id, also after a wait, and nothing outside of it does', async () => {
  const { log, lines } = logging('info')
  const answered = (id: string) =>
    inRequest(newScope(id), async () => {
      await new Promise((resolve) => setTimeout(resolve, 1))
      log.info(id)
    })
  await Promise.all([answered('a'), answered('b')])
  log.info('outside')
  const ids = lines.map((line) => JSON.parse(line)).map(({ message, requestId }) => [message, requestId])
  expect(ids.toSorted()).toEqual([
    ['a', 'a'],
    ['b', 'b'],
    ['outside', undefined],
  ])
})

test('an id that could break a header or a line is not taken over', () => {
  expect(newScope('order-7:retry/2').requestId).toBe('order-7:retry/2')
  for (const bad of [null, '', 'a b', 'a"b', 'é', 'x'.repeat(129)])
    expect(newScope(bad).requestId).toMatch(/^[0-9a-f]{8}-[0-9a-f-]{27}$/)
})
