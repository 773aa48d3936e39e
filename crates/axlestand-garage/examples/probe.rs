//! scratch
fn main() {
    for p in std::env::args().skip(1) {
        let bytes = std::fs::read(&p).unwrap();
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let r = axlestand_garage::vehicle::read_car(&text);
        for f in &r.findings {
            println!("{p}: {} {}:{} {} | {} [{}]", f.code, f.line, f.column, f.message, f.hint, f.excerpt);
        }
        let n = axlestand_garage::render(&r.findings, &text, "x.toml", false);
        println!("{p}: {} findings, render {} bytes", r.findings.len(), n.len());
    }
}
