import assert from 'node:assert/strict';
import test from 'node:test';
import { imageOnly } from '../../web/js/state/jpeg.js';

const START = [0xff, 0xd8];
const END = [0xff, 0xd9];
const SCAN = [0xff, 0xda, 0, 3, 1, 0x12, 0xff, 0x00, 0xff, 0xd3, 0xe1];
const MORE_SCAN = [0xff, 0xda, 0, 3, 2, 0xff, 0x00, 0xff];

const letters = (text) => [...text].map((sign) => sign.charCodeAt(0));
const segment = (marker, body) => [0xff, marker, 0, body.length + 2, ...body];
const frame = segment(0xc0, [8, 0, 1, 0, 1, 1, 1, 0x11, 0]);
const jfif = segment(0xe0, letters('JFIF\0more'));
const profile = segment(0xe2, letters('ICC_PROFILE\0more'));
const adobe = segment(0xee, letters('Adobe more'));
const tables = segment(0xdb, [0, 1, 2]);

const exif = segment(0xe1, letters('Exif\0\0a place'));
const EXTRAS = {
  exif,
  xmp: segment(0xe1, letters('http://ns.adobe.com/xap/1.0/\0<x/>')),
  'a comment': segment(0xfe, letters('by hand')),
  'a caption': segment(0xed, letters('Photoshop 3.0\0')),
  'further pictures': segment(0xe2, letters('MPF\0')),
  'a thumbnail': segment(0xe0, letters('JFXX\0')),
  'another APP14': segment(0xee, letters('Other')),
  'the last APPn': segment(0xef, [1]),
  'an empty one': segment(0xe2, []),
  'one with markers inside': segment(0xe1, [...END, ...START, ...SCAN]),
};

const cleaned = (...parts) => [...imageOnly(Uint8Array.from(parts.flat()))];

/** Made by Pillow 13: 8 x 8 grey, Exif with a description and a position, a comment. */
const WITH_EXIF = [
  '/9j/4AAQSkZJRgABAQAAAQABAAD/4QBURXhpZgAATU0AKgAAAAgAAwEOAAIAAAAIAAAAMgESAAMAAAABAAEAAIglAA',
  'QAAAABAAAAOgAAAABhIGNoYWlyAAABAAEAAgAAAAJOAAAAAAAAAP/+AAlieSBoYW5k/9sAQwAQCwwODAoQDg0OEhEQ',
  'ExgoGhgWFhgxIyUdKDozPTw5Mzg3QEhcTkBEV0U3OFBtUVdfYmdoZz5NcXlwZHhcZWdj/8AACwgACAAIAQERAP/EAB',
  'QAAQAAAAAAAAAAAAAAAAAAAAH/xAAUEAEAAAAAAAAAAAAAAAAAAAAA/9oACAEBAAA/AF//2Q==',
].join('');

test('what describes the image stays, byte for byte', () => {
  const whole = [START, jfif, profile, adobe, tables, frame, SCAN, END];
  assert.deepEqual(cleaned(...whole), whole.flat());
});

for (const [name, extra] of Object.entries(EXTRAS)) {
  test(`dropped before and between the scans: ${name}`, () => {
    const plain = [START, jfif, tables, frame, SCAN, tables, MORE_SCAN.slice(0, -1), END].flat();
    const first = cleaned(START, extra, jfif, tables, frame, SCAN, tables, MORE_SCAN, END);
    assert.deepEqual(first, plain);
    const between = [jfif, tables, frame, extra, SCAN, extra, tables, MORE_SCAN, extra, END];
    assert.deepEqual(cleaned(START, ...between), plain);
  });
}

test('whatever stands behind the end goes', () => {
  assert.deepEqual(cleaned(START, frame, SCAN, END, START, exif), [START, frame, SCAN, END].flat());
});

test('fill bytes before a marker are no part of the picture', () => {
  assert.deepEqual(cleaned(START, [0xff, 0xff], frame, SCAN, END), [START, frame, SCAN, END].flat());
});

test('anything that is no whole JPEG is handed back unchanged', () => {
  const others = [
    [], [0xff], START, [0x89, 0x50, 0x4e, 0x47, ...exif], [...START, ...exif, ...frame, ...SCAN],
    [...START, 0xff, 0xe1, 0xff, 0xff, 1, ...END], [...START, 0xff, 0xe1], [...START, 0xff],
    [...START, 0xff, 0xe1, 0, 1, ...END], [...START, 1, ...exif, ...END],
    [...START, 0xff, 0x01, ...exif, ...END],
  ];
  for (const bytes of others) {
    const given = Uint8Array.from(bytes);
    assert.equal(imageOnly(given), given);
  }
});

test('a picture with Exif made elsewhere loses it, its comment, and nothing else', () => {
  const given = Uint8Array.from(Buffer.from(WITH_EXIF, 'base64'));
  const whole = Buffer.from(given);
  const from = whole.indexOf(Uint8Array.of(0xff, 0xe1));
  const to = whole.indexOf(Uint8Array.of(0xff, 0xdb));
  assert(whole.includes('Exif') && whole.includes('by hand') && from > 0 && to > from);
  const without = Buffer.from(imageOnly(given));
  assert.deepEqual(without, Buffer.concat([whole.subarray(0, from), whole.subarray(to)]));
  assert.deepEqual(Buffer.from(imageOnly(without)), without, 'a second time changes nothing');
});
