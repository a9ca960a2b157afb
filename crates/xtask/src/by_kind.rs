//! The core's code sorted by kind, which packs a twelfth smaller.
//!
//! In a WebAssembly module instructions and their operands take turns. A packer that looks for
//! repetitions finds more of them where all instructions stand together, then the operands of
//! each instruction, as WebAssembly's own designers noted. Nothing is lost:
//! `web/src/joined.ts` puts the module together again, byte for byte.
//!
//! The form: [`LISTS`] + 2 numbers of four bytes (low byte first): the length of what stands before the
//! functions, the length of the functions, the length of each list; then the lists, what stands
//! before the functions, and what after.

use wasmparser::{Parser, Payload};

use crate::fault::{Fault, Outcome};

/// Lists 0 to 255 hold the operands of the instruction of that number; of one that reads or writes
/// memory the first only.
const LISTS: usize = 260;
/// All instructions.
const INSTRUCTIONS: usize = 256;
/// The functions' sizes.
const SIZES: usize = 257;
/// What their variables are.
const VARIABLES: usize = 258;
/// The second operands of instructions that read or write memory: how far from the address.
const OFFSETS: usize = 259;

/// Sorts a module.
///
/// # Errors
/// A module that cannot be read.
pub(crate) fn sorted(module: &[u8]) -> Outcome<Vec<u8>> {
    let unread = |error: wasmparser::BinaryReaderError| {
        Fault::new(format!("cannot read the core's module: {error}"))
    };
    let mut lists = vec![Vec::new(); LISTS];
    let mut functions = module.len()..module.len();
    let mut last = 0;
    for payload in Parser::new(0).parse_all(module) {
        match payload.map_err(unread)? {
            // The functions follow their count.
            Payload::CodeSectionStart { range, .. } => {
                functions = after_number(module, range.start)..range.end;
                last = functions.start;
            }
            Payload::CodeSectionEntry(body) => {
                let range = body.range();
                lists[SIZES].extend_from_slice(&module[last..range.start]);
                last = range.end;
                let mut operators = body.get_operators_reader().map_err(unread)?;
                let mut from = operators.original_position();
                lists[VARIABLES].extend_from_slice(&module[range.start..from]);
                while !operators.eof() {
                    operators.read().map_err(unread)?;
                    let to = operators.original_position();
                    put(&mut lists, &module[from..to]);
                    from = to;
                }
            }
            _ => {}
        }
    }
    let lengths = [functions.start, functions.len()];
    let lengths = lengths.into_iter().chain(lists.iter().map(Vec::len));
    let mut sorted: Vec<u8> = lengths
        .flat_map(|length| (length as u32).to_le_bytes())
        .collect();
    sorted.extend(lists.concat());
    sorted.extend_from_slice(&module[..functions.start]);
    sorted.extend_from_slice(&module[functions.end..]);
    Ok(sorted)
}

/// Puts an instruction and its operands where they belong.
fn put(lists: &mut [Vec<u8>], instruction: &[u8]) {
    let kind = instruction[0];
    lists[INSTRUCTIONS].push(kind);
    let touches_memory = (0x28..=0x3e).contains(&kind);
    let second = if touches_memory {
        after_number(instruction, 1)
    } else {
        instruction.len()
    };
    lists[usize::from(kind)].extend_from_slice(&instruction[1..second]);
    lists[OFFSETS].extend_from_slice(&instruction[second..]);
}

/// Where a number of seven bits a byte that begins here has ended.
fn after_number(bytes: &[u8], from: usize) -> usize {
    let long = bytes[from..].iter().take_while(|byte| **byte >= 0x80);
    from + long.count() + 1
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A module of one function: `i32.const 5`, `i32.load align=4 offset=200`, `end`.
    const MODULE: [u8; 34] = [
        0, 0x61, 0x73, 0x6d, 1, 0, 0, 0, // what it is
        1, 5, 1, 0x60, 0, 1, 0x7f, // a type
        3, 2, 1, 0, // the function's type
        10, 10, 1, 8, 0, 0x41, 5, 0x28, 2, 0xc8, 1, 0x0b, // the function
        0, 1, 0, // a section of one's own
    ];

    #[test]
    fn each_byte_stands_in_its_list() {
        let sorted = sorted(&MODULE).unwrap();
        let words: Vec<usize> = sorted[..4 * (LISTS + 2)]
            .as_chunks::<4>()
            .0
            .iter()
            .map(|word| u32::from_le_bytes(*word) as usize)
            .collect();
        assert_eq!(words[..2], [22, 9]);
        let mut from = 4 * (LISTS + 2);
        let mut lists = words[2..].iter().map(|length| {
            from += length;
            sorted[from - length..from].to_vec()
        });
        let lists: Vec<Vec<u8>> = lists.by_ref().collect();
        assert_eq!(lists[0x41], [5]);
        assert_eq!(lists[0x28], [2]);
        assert_eq!(lists[INSTRUCTIONS], [0x41, 0x28, 0x0b]);
        assert_eq!([&lists[SIZES], &lists[VARIABLES]], [&[8], &[0]]);
        assert_eq!(lists[OFFSETS], [0xc8, 1]);
        assert_eq!(sorted[from..], [&MODULE[..22], &MODULE[31..]].concat());
    }

    #[test]
    fn what_is_no_module_is_refused() {
        assert!(sorted(&MODULE[..30]).is_err());
    }
}
