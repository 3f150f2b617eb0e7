import{a0 as t,a1 as r,a2 as i,a3 as s}from"./index-DGyWziOT.js";function o(e,n){var a=void 0,f;t(()=>{a!==(a=n())&&(f&&(r(f),f=null),a&&(f=i(()=>{s(()=>a(e))})))})}export{o as a};
