/**
 * How the report looks, on screen as on paper. Black-and-white safe: nothing is told by colour alone. Page size is the
 * printer's (A4 and Letter both fit 180 mm); each skater starts a page.
 */
export const REPORT_STYLE = `
.report{--card:#fff;--ink:#14212b;--quiet:#51616e;--line:#c3d2dc;--chip:#dde7ee;--accent:#0b6e8f;--accent-soft:#cfe8f1;--good:#14694b;--care:#8a5200;--bad:#a61b2b;color:var(--ink);background:#fff;font:14px/1.45 Inter,system-ui,-apple-system,'Segoe UI',Roboto,'DejaVu Sans',sans-serif;max-width:760px;margin:0 auto}
.report *{box-sizing:border-box}
.report .page{padding:28px 36px}
.report h1{font-size:23px;line-height:1.25;margin:0 0 10px}
.report h2{font-size:17px;margin:24px 0 6px;break-after:avoid}
.report .skater h2{font-size:22px;margin-top:0}
.report p{margin:5px 0}
.report ul{margin:4px 0 8px;padding-left:20px}
.report .headline{font-size:17px;font-weight:600;margin:6px 0}
.report .quiet,.report small{color:var(--quiet);font-size:13px}
.report small{display:block;font-weight:400}
.report .care{border-left:4px solid var(--care);padding-left:10px}
.report figure{margin:8px 0;break-inside:avoid}
.report figcaption{font-weight:600;margin-bottom:4px}
.report figure svg{display:block;width:100%;height:auto;overflow:visible}
.report .chart{overflow:visible}
.report .key{display:flex;flex-wrap:wrap;gap:2px 16px;font-size:13px;margin:2px 0}
.report .key svg{display:inline-block;width:18px;height:18px;vertical-align:-4px}
.report .pair{display:grid;grid-template-columns:1fr 1fr;gap:14px}
.report .side-by-side{display:flex;gap:6px}
.report .side-by-side svg{flex:1;min-width:0;max-width:240px}
.report figcaption small{display:inline;margin-left:8px}
.report .pair svg{overflow:hidden;border:1px solid var(--line)}
.report table{border-collapse:collapse;width:100%;margin:8px 0;font-size:13px;font-variant-numeric:tabular-nums}
.report caption{text-align:left;color:var(--quiet);font-size:13px;padding-bottom:3px}
.report th,.report td{text-align:left;vertical-align:top;padding:3px 6px;border-bottom:1px solid var(--line);font-weight:400}
.report thead th{font-weight:600;border-bottom:2px solid var(--ink);vertical-align:bottom}
.report .right{text-align:right}
.report .one-line{white-space:nowrap}
.report .kept{break-inside:avoid}
.report .scales th:nth-child(1){width:17%}.report .scales th:nth-child(2){width:20%}.report .scales th:last-child{width:35%}
.report .statistics tbody th{width:46%}
.report tr,.report li{break-inside:avoid}
.report thead{display:table-header-group}
@media screen{.report .page+.page{border-top:1px solid var(--line)}}
@page{margin:14mm 15mm;@bottom-right{content:counter(page) " / " counter(pages);font:8pt sans-serif;color:#51616e}}
@media print{.report .season table{font-size:8pt}.report .season th,.report .season td{padding:1.5px 5px}.report .season .chart svg{max-height:70mm}.report .skater .side-by-side svg{max-height:36mm}.report .skater figure{margin:3px 0}.report .skater .key{font-size:8pt}.report .skater figcaption{margin-bottom:1px}.report .skater h2{margin-bottom:2px}.report .skater table{margin:4px 0}.report .skater .quiet{font-size:7.5pt;line-height:1.3}.report .skater td small{display:none}.report .skater tbody th,.report .skater tbody td{padding:0 4px;font-size:7.5pt;line-height:1.22}.report .skater .kept tbody th,.report .skater .kept tbody td{padding:0 2px;font-size:7pt}.report .skater li,.report .skater p{margin:2px 0}.report .skater ul{margin:1px 0;padding:0}.report .skater li{display:inline;font-size:7pt;line-height:1.2}.report .skater li+li::before{content:"· "}.report .skater tbody th{white-space:nowrap}.report .skater thead th,.report .skater caption{font-size:7.5pt;line-height:1.22;padding:1px 4px}.report .skater .kept thead th{font-size:7pt;padding:1px 2px}.report{max-width:none;font-size:10pt}.report .page{padding:0}.report .reviewer p,.report .reviewer li{font-size:9pt;line-height:1.35}.report .reviewer table{font-size:8pt;line-height:1.3}.report .reviewer th,.report .reviewer td{padding:1.5px 5px}.report .reviewer h2{margin-top:11pt}.report .reviewer .last{break-inside:avoid}.report .reviewer .chart svg{max-height:112mm;width:auto;max-width:100%;margin:0 auto}.report .statistics small{display:inline;margin-left:5px;font-size:7.5pt}.report .statistics tbody th{width:56%}.report thead,.report tbody tr:first-child,.report tbody tr:nth-child(2){break-after:avoid}.report tbody tr:last-child{break-before:avoid}.report .page+.page{break-before:page}.report .brief+.brief{break-before:auto;break-inside:avoid;margin-top:18pt}.report table,.report small,.report caption,.report .quiet{font-size:8.5pt}.report h1{font-size:17pt}.report h2{font-size:12.5pt;margin-top:14pt}.report .headline{font-size:12.5pt}}
`;
