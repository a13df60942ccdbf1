// The Heron films a regatta: flicks of many lengths, recorded as telemetry in
// every framing and as CSV, replayed, and compared.
const assert = require('node:assert')
const fs = require('node:fs')
const { execFileSync } = require('node:child_process')
const { MavLinkProtocolV1, MavLinkProtocolV2, common, minimal } = require('node-mavlink')

let seed = 20
const random = () => (seed = (seed * 1103515245 + 12345) % 2 ** 31) / 2 ** 31
const between = (low, high) => low + Math.floor(random() * (high - low))

// One flight: rows of (ms, aux, armed), with a gap of seconds here and there.
function fly() {
  const rows = []
  let ms = between(5_000, 60_000), aux = 1000, until = ms + 2_000
  for (let n = 0; n < 3_000; n++) {
    if (ms >= until) {
      aux = aux === 1000 ? 2000 : 1000
      until = ms + (aux === 2000 ? between(20, 2_200) : between(100, 8_000))
    }
    rows.push({ ms, aux: n % 500 === 7 ? 65535 : n % 500 === 9 ? 0 : aux + between(-4, 5), armed: n > 100 && n < 2_700 })
    ms += n % 700 === 650 ? between(2_000, 4_000) : between(15, 90)
  }
  return rows
}

const vehicle = [7, 1], ground = [255, 190]

function heartbeat(armed, autopilot) {
  const m = new minimal.Heartbeat()
  Object.assign(m, { type: 2, autopilot, baseMode: armed ? 128 | 1 : 1, customMode: 0, systemStatus: 4, mavlinkVersion: 3 })
  return m
}

function channels(kind, row) {
  const m = new common[kind]()
  for (const key of Object.keys(m)) if (/^(chan|servo)\d+Raw$/.test(key)) m[key] = 65535
  if (kind === 'ServoOutputRaw') return Object.assign(m, { timeUsec: row.ms * 1000, port: 0, servo6Raw: row.aux })
  return Object.assign(m, { timeBootMs: row.ms, chan6Raw: row.aux, rssi: 200 }, kind === 'RcChannels' ? { chancount: 8 } : { port: 0 })
}

function foreign(row) {
  const m = new common.Attitude()
  return Object.assign(m, { timeBootMs: row.ms, roll: random(), pitch: random(), yaw: random(), rollspeed: 0, pitchspeed: 0, yawspeed: 0 })
}

function record(rows, Protocol, kind, stamped) {
  const parts = []
  const sequence = {}
  const send = (from, message, ms) => {
    sequence[from] = ((sequence[from] ?? -1) + 1) % 256
    if (stamped) {
      const stamp = Buffer.alloc(8)
      stamp.writeBigUInt64BE(1_764_000_000_000_000n + BigInt(ms + between(0, 30)) * 1000n)
      parts.push(stamp)
    }
    parts.push(new Protocol(...from).serialize(message, sequence[from]))
  }
  rows.forEach((row, n) => {
    if (n % 20 === 0) send(ground, heartbeat(true, 8), row.ms)
    if (n === 0 || rows[n - 1].armed !== row.armed || n % 15 === 0) send(vehicle, heartbeat(row.armed, 3), row.ms)
    if (n % 3 === 0) send(vehicle, foreign(row), row.ms)
    send(vehicle, channels(kind, row), row.ms)
  })
  return Buffer.concat(parts)
}

function replay(file, ...flags) {
  const flight = JSON.parse(execFileSync('./flicktally', ['replay', '--json', ...flags, file], { maxBuffer: 1 << 28 }))
  delete flight.log.file
  return flight
}

let compared = 0, presses = 0
for (let flight = 0; flight < 4; flight++) {
  const rows = fly()
  const lines = rows.map(r => `${r.ms * 1000},${r.aux === 0 || r.aux === 65535 ? '' : r.aux},${r.armed ? 2000 : 1000}`)
  fs.writeFileSync('twin.csv', 'time_us,aux2,arm\n' + lines.join('\n') + '\n')
  const twin = replay('twin.csv', '--channel', 'aux2', '--armed', 'arm')
  presses += twin.presses.length
  for (const Protocol of [MavLinkProtocolV1, MavLinkProtocolV2]) {
    for (const stamped of [false, true]) {
      for (const kind of ['RcChannels', 'RcChannelsRaw', 'ServoOutputRaw']) {
        const name = `${Protocol.name} ${kind}${stamped ? ' with times' : ''}`
        fs.writeFileSync('flight.tlm', record(rows, Protocol, kind, stamped))
        const got = replay('flight.tlm', '--channel', kind === 'ServoOutputRaw' ? 'servo6' : 'aux2')
        for (const key of kind === 'ServoOutputRaw' ? ['presses', 'toggles', 'states', 'takes', 'armed'] : Object.keys(twin)) {
          assert.deepStrictEqual(got[key], twin[key], `flight ${flight}, ${name}: ${key}`)
        }
        compared++
      }
    }
  }
}
console.log(`${compared} recordings replay as their CSV twins do; ${presses} presses in 4 flights`)
